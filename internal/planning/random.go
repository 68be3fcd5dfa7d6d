package planning

import "math/bits"

// dice is the splitmix64 generator (Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014; from
// memory): the same seed gives the same numbers on every machine and in every release of Go.
type dice uint64

func (d *dice) next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below gives a number from 0 to n-1.
func (d *dice) below(n int) int {
	hi, _ := bits.Mul64(d.next(), uint64(n))
	return int(hi)
}

// tolerance gives a random number near to exponentially distributed with a mean of 1024, from integers alone: the number of
// leading zero bits is the whole part of -log2 u, the bits after the first one its fraction, nearly; 710/1024 is ln 2.
func (d *dice) tolerance() int64 {
	u := d.next() | 1
	zeros := bits.LeadingZeros64(u)
	fraction := int64(u<<zeros<<1>>54) & 1023
	return (int64(zeros+1)<<10 - fraction) * 710 >> 10
}
