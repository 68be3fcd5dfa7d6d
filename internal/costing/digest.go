package costing

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"slices"
)

// Digest is a hash over rows of figures that does not hang on the order in which the rows are added. Equal rows count as often
// as they are added.
type Digest struct {
	rows [][sha256.Size]byte
	row  []byte // being hashed
}

// Row adds a row of a table. Each field is hashed with its length, so that no two different rows read alike.
func (d *Digest) Row(table string, fields ...string) {
	d.row = append(binary.BigEndian.AppendUint64(d.row[:0], uint64(len(table))), table...)
	for _, f := range fields {
		d.row = append(binary.BigEndian.AppendUint64(d.row, uint64(len(f))), f...)
	}
	d.rows = append(d.rows, sha256.Sum256(d.row))
}

// Sum gives the SHA-256 of the rows so far in hexadecimal digits.
func (d *Digest) Sum() string {
	slices.SortFunc(d.rows, func(a, b [sha256.Size]byte) int { return slices.Compare(a[:], b[:]) })
	h := sha256.New()
	for _, row := range d.rows {
		h.Write(row[:])
	}
	return hex.EncodeToString(h.Sum(nil))
}
