// Package dice gives the searches their random numbers: integers only, and the same from the same seed on every machine and
// in every release of Go.
package dice

import "math/bits"

// Dice is the splitmix64 generator (Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014; from
// memory). Its value is the seed.
type Dice uint64

func (d *Dice) next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Below gives a number from 0 to n-1, each as likely as every other.
func (d *Dice) Below(n int) int {
	hi, _ := bits.Mul64(d.next(), uint64(n))
	return int(hi)
}

// Tolerance gives a random number near to exponentially distributed with a mean of 1024, from integers alone: the number of
// leading zero bits is the whole part of -log2 u, the bits after the first one its fraction, nearly; 710/1024 is ln 2.
func (d *Dice) Tolerance() int64 {
	u := d.next() | 1
	zeros := bits.LeadingZeros64(u)
	fraction := int64(u<<zeros<<1>>54) & 1023
	return (int64(zeros+1)<<10 - fraction) * 710 >> 10
}
