package password

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A password's length in characters. NIST SP 800-63B (read in a copy) asks for at least eight and for no rule of composition; a
// longest one keeps a sign-in small.
const (
	Shortest = 10
	Longest  = 256
)

// Weak says why a password may not be taken, nil where it may: too short or long, on many lists of common ones, or made of the
// words that are known about its owner.
func Weak(password string, known ...string) error {
	switch n := utf8.RuneCountInString(prepared(password)); {
	case !utf8.ValidString(password) || strings.ContainsFunc(password, unicode.IsControl):
		return errors.New("holds a character that cannot be typed")
	case n < Shortest:
		return fmt.Errorf("has %d characters; it needs at least %d, and a few words in a row are easy to keep in mind", n, Shortest)
	case n > Longest:
		return fmt.Errorf("has %d characters; at most %d are taken", n, Longest)
	}
	bare := letters(password)
	for _, word := range known {
		if w := letters(word); bare != "" && len(w) > 2 && strings.ReplaceAll(bare, w, "") == "" {
			return errors.New("is the name, or the shop's, with little else")
		}
	}
	if repeats(password) || follows(password) || common(bare) {
		return errors.New("is one of those that are guessed first")
	}
	return nil
}

// letters gives the letters of a text in lower case, with the usual digits and signs in their place read as letters.
func letters(text string) string {
	text = strings.ToLower(prepared(text))
	text = strings.Trim(text, "0123456789 !?.,;:#*+-_@$%&/()=")
	text = strings.NewReplacer("0", "o", "1", "i", "3", "e", "4", "a", "5", "s", "7", "t", "@", "a", "$", "s", "!", "i").Replace(text)
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return r
		}
		return -1
	}, text)
}

// repeats says whether a text is a piece over and over, three times or more.
func repeats(text string) bool {
	runes := []rune(strings.ToLower(text))
	for period := 1; period <= len(runes)/3; period++ {
		same := true
		for i := period; i < len(runes) && same; i++ {
			same = runes[i] == runes[i-period]
		}
		if same {
			return true
		}
	}
	return false
}

// rows are what fingers run along: the alphabet, the digits, the rows and columns of keyboards.
var rows = []string{"abcdefghijklmnopqrstuvwxyz", "01234567890", "qwertyuiop", "qwertzuiop", "azertyuiop", "asdfghjkl", "zxcvbnm", "yxcvbnm",
	"1q2w3e4r5t6y7u8i9o0p", "1qaz2wsx3edc4rfv5tgb6yhn7ujm", "qazwsxedcrfvtgbyhnujm", "!@#$%^&*()"}

// follows says whether a text runs along such rows, in pieces of at least three, either way.
func follows(text string) bool {
	rest := strings.ToLower(text)
	for rest != "" {
		n := 0
		for _, row := range rows {
			n = max(n, run(rest, row), run(rest, reversed(row)))
		}
		if n < 3 {
			return false
		}
		rest = rest[n:]
	}
	return true
}

// run gives how many bytes at the beginning of a text stand in a row as they do there.
func run(text, row string) int {
	for n := min(len(text), len(row)); n > 0; n-- {
		if strings.Contains(row, text[:n]) {
			return n
		}
	}
	return 0
}

func reversed(text string) string {
	var b strings.Builder
	for i := len(text) - 1; i >= 0; i-- {
		b.WriteByte(text[i])
	}
	return b.String()
}

// words stand on every list of the most common passwords, as far as they are common whatever follows them; from memory.
var words = []string{"password", "passwort", "passwords", "passphrase", "secret", "letmein", "welcome", "changeme", "default", "admin", "administrator", "root", "user", "login",
	"master", "dragon", "monkey", "football", "baseball", "basketball", "superman", "batman", "princess", "sunshine", "iloveyou", "whatever", "trustno", "starwars",
	"pokemon", "michael", "jennifer", "jordan", "charlie", "computer", "internet", "qwerty", "qwertz", "azerty", "asdf", "abc", "test", "testing", "guest",
	"hello", "summer", "winter", "spring", "autumn", "january", "december", "monday", "friday", "owner", "winder", "lead", "bookkeeper", "windingroom", "string", "strings", "guitar"}

// common says whether the letters are nothing but such words, one or more.
func common(bare string) bool {
	if bare == "" {
		return false
	}
	made := make([]bool, len(bare)+1) // the first i bytes are words
	made[0] = true
	for i := 1; i <= len(bare); i++ {
		for _, w := range words {
			made[i] = made[i] || strings.HasSuffix(bare[:i], w) && made[i-len(w)]
		}
	}
	return made[len(bare)]
}
