package intake

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// badText says what no field may contain, or nothing. Line ends and tabs are allowed in a quoted field; a code or number
// refuses them in its own way.
func badText(text string) string {
	ascii := true
	for i := range len(text) {
		switch b := text[i]; {
		case b >= utf8.RuneSelf:
			ascii = false
		case b == 0:
			return "has a byte of zero; save the file as UTF-8 (CSV UTF-8), not as UTF-16"
		case b == '\r':
			return "has a carriage return alone; save the file with line feeds (LF or CRLF) at the ends of lines"
		case b < ' ' && b != '\n' && b != '\t', b == 0x7f:
			return fmt.Sprintf("has the control character %#02x; take it out", b)
		}
	}
	if ascii || utf8.ValidString(text) {
		return ""
	}
	for rest := text; ; {
		r, size := utf8.DecodeRuneInString(rest)
		if r == utf8.RuneError && size == 1 {
			return fmt.Sprintf("has the byte %#02x, which is not UTF-8; save the file as UTF-8 (CSV UTF-8)", rest[0])
		}
		rest = rest[size:]
	}
}

// excerpt shortens a text from a file for a message.
func excerpt(text string) string {
	const most = 80
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}

// maxCode is the length of the longest code.
const maxCode = 64

// badCode says why a text is not a code, or nothing.
func badCode(text string) string {
	if len(text) > maxCode {
		return fmt.Sprintf("is %d characters long; a code has at most %d", utf8.RuneCountInString(text), maxCode)
	}
	for _, r := range text {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '-', r == '_':
		default:
			return fmt.Sprintf("%q has %q; a code is made of the letters a to z, digits, . - and _", text, r)
		}
	}
	return ""
}

// key gives a code in the one spelling used for comparison.
func key[T ~string](code T) string { return strings.ToLower(string(code)) }

// interner numbers codes without regard to case and keeps the first spelling of each, so that a million rows hold numbers
// and not texts.
type interner struct {
	exact  map[string]int32 // by spelling as met
	folded map[string]int32 // by key
	codes  []string
}

func newInterner() *interner {
	return &interner{exact: map[string]int32{}, folded: map[string]int32{}}
}

// find gives the number of a code met before in this spelling.
func (n *interner) find(code string) (int32, bool) {
	id, ok := n.exact[code]
	return id, ok
}

// add gives the number of a code, a new one for a new code.
func (n *interner) add(code string) int32 {
	code = strings.Clone(code) // not to keep the whole record
	k := key(code)
	id, ok := n.folded[k]
	if !ok {
		id = int32(len(n.codes))
		n.codes = append(n.codes, code)
		n.folded[k] = id
	}
	n.exact[code] = id
	return id
}

// BadCode says why a text that was not read from a file is no code, or nothing.
func BadCode(text string) string {
	if text == "" {
		return "is needed: a code such as W-12.5"
	}
	return badCode(text)
}
