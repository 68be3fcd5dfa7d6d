package password

import (
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
)

// Cost is what working out one argon2id key takes.
type Cost struct {
	Memory uint32 // KiB
	Time   uint32 // passes over the memory
	Lanes  uint8  // that may run beside each other
}

// Standard is the second recommended option of RFC 9106, section 4 (read in a copy): 64 MiB, three passes, four lanes.
var Standard = Cost{Memory: 64 << 10, Time: 3, Lanes: 4}

// The lengths that RFC 9106 recommends with it, in bytes.
const (
	saltLength = 16
	keyLength  = 32
)

// Bounds of what is read, so that a hash that somebody altered cannot make the program work for hours or take all memory.
const (
	mostMemory = 256 << 10 // KiB
	mostTime   = 16
	mostLanes  = 16
	mostBytes  = 64 // of salt or key
)

// ErrHash says that a kept text is not a hash of this package.
var ErrHash = errors.New("not an argon2id hash")

// hash is a password as it is kept.
type hash struct {
	Cost
	salt, key []byte
}

// String gives the hash in the PHC string format: $argon2id$v=19$m=65536,t=3,p=4$SALT$KEY, base64 without padding.
func (h hash) String() string {
	b := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=19$m=%d,t=%d,p=%d$%s$%s", h.Memory, h.Time, h.Lanes, b.EncodeToString(h.salt), b.EncodeToString(h.key))
}

// parse reads what String wrote, and nothing that it would write otherwise.
func parse(text string) (hash, error) {
	var h hash
	parts := strings.Split(text, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" || parts[2] != "v=19" {
		return hash{}, ErrHash
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &h.Memory, &h.Time, &h.Lanes); err != nil {
		return hash{}, ErrHash
	}
	var errs [2]error
	h.salt, errs[0] = base64.RawStdEncoding.Strict().DecodeString(parts[4])
	h.key, errs[1] = base64.RawStdEncoding.Strict().DecodeString(parts[5])
	if errors.Join(errs[:]...) != nil || !h.bounded() || h.String() != text {
		return hash{}, ErrHash
	}
	return h, nil
}

// bounded says whether the hash may be worked with. RFC 9106, section 3.1, asks for at least eight blocks a lane.
func (h hash) bounded() bool {
	return h.Lanes >= 1 && h.Lanes <= mostLanes && h.Time >= 1 && h.Time <= mostTime &&
		h.Memory >= 8*uint32(h.Lanes) && h.Memory <= mostMemory &&
		len(h.salt) >= 8 && len(h.salt) <= mostBytes && len(h.key) >= 16 && len(h.key) <= mostBytes
}
