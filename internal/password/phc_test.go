package password

import (
	"testing"

	"pgregory.net/rapid"
)

func TestParseReadsWhatStringWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lanes := rapid.Uint8Range(1, mostLanes).Draw(t, "lanes")
		h := hash{
			Cost: Cost{Memory: rapid.Uint32Range(8*uint32(lanes), mostMemory).Draw(t, "memory"), Time: rapid.Uint32Range(1, mostTime).Draw(t, "time"), Lanes: lanes},
			salt: rapid.SliceOfN(rapid.Byte(), 8, mostBytes).Draw(t, "salt"),
			key:  rapid.SliceOfN(rapid.Byte(), 16, mostBytes).Draw(t, "key"),
		}
		got, err := parse(h.String())
		if err != nil || got.String() != h.String() || got.Cost != h.Cost {
			t.Fatalf("%s comes back as %v, %v", h, got, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"$argon2id$v=19$m=65536,t=3,p=4$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA",
		"$argon2i$v=19$m=65536,t=3,p=4$AAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAA", "", "$$$$$", "$argon2id$v=19$m=8,t=1,p=1$$",
		"$argon2id$v=19$m=4294967295,t=4294967295,p=255$AAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAA",
		"$argon2id$v=19$m=08,t=1,p=1$AAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAA", "$argon2id$v=19$m=8,t=1,p=1,x$AAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAA",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		h, err := parse(text)
		if err == nil && (h.String() != text || !h.bounded()) {
			t.Errorf("%q is read as %s", text, h)
		}
	})
}
