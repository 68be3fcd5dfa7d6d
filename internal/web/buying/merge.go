package buying

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// written is a purchase as its form shows it.
type written struct {
	lines                   []writtenLine
	promised, freight, note string
}

type writtenLine struct{ wire, packs, price string }

func (l writtenLine) key() string { return strings.ToLower(l.wire) }

// line finds a wire's line.
func (w written) line(key string) (writtenLine, bool) {
	for _, l := range w.lines {
		if l.key() == key {
			return l, true
		}
	}
	return writtenLine{}, false
}

// asWritten gives what the form of a purchase begins with.
func asWritten(p workshop.PurchaseStory) written {
	w := written{promised: day(p.PromisedOn), freight: p.Currency.Text(p.Freight), note: p.Note}
	for _, l := range p.Lines {
		w.lines = append(w.lines, writtenLine{string(l.Wire), strconv.Itoa(l.Packs), p.Currency.Text(l.PricePerKg)})
	}
	return w
}

// was stands before the names of what the person saw when the form was opened.
const was = "was_"

// readWritten reads what a form holds under its names, with something before them or nothing. Rows without a wire are left out.
func readWritten(f *page.Form, before string) written {
	w := written{promised: f.Get(before + "promised_on"), freight: f.Get(before + "freight"), note: f.Get(before + "note")}
	for i := range rowsIn(f, before+"wire") {
		l := writtenLine{f.Get(at(before+"wire", i)), f.Get(at(before+"packs", i)), f.Get(at(before+"price_per_kg", i))}
		if l.wire != "" {
			w.lines = append(w.lines, l)
		}
	}
	return w
}

// put writes it into a form's values.
func (w written) put(values url.Values, before string) {
	values.Set(before+"promised_on", w.promised)
	values.Set(before+"freight", w.freight)
	values.Set(before+"note", w.note)
	for i, l := range w.lines {
		values.Set(at(before+"wire", i), l.wire)
		values.Set(at(before+"packs", i), l.packs)
		values.Set(at(before+"price_per_kg", i), l.price)
	}
}

// merge brings together what a person typed and what somebody else kept meanwhile: what the person left alone takes the other's
// change, what they changed stays as they typed it. It tells each of the other's changes.
func merge(typed, seen, now written) (out written, told []string) {
	one := func(name, typed, seen, now string) string {
		if now != seen {
			told = append(told, fmt.Sprintf("%s was %s and is now %s", name, orEmpty(seen), orEmpty(now)))
		}
		if typed != seen {
			return typed
		}
		return now
	}
	for _, t := range typed.lines {
		s, before := seen.line(t.key())
		n, still := now.line(t.key())
		switch {
		case before && still:
			t.packs = one(t.wire+": packs", t.packs, s.packs, n.packs)
			t.price = one(t.wire+": price per kg", t.price, s.price, n.price)
		case before:
			told = append(told, t.wire+" was taken out")
			if t == s {
				continue
			}
		case still:
			told = append(told, fmt.Sprintf("%s was added with %s", n.wire, packs(n.packs)))
		}
		out.lines = append(out.lines, t)
	}
	for _, n := range now.lines {
		if _, here := typed.line(n.key()); here {
			continue
		}
		s, before := seen.line(n.key())
		if !before {
			told = append(told, fmt.Sprintf("%s was added with %s", n.wire, packs(n.packs)))
			out.lines = append(out.lines, n)
		} else if n != s {
			told = append(told, fmt.Sprintf("%s, which you took out, is now %s at %s per kg", n.wire, packs(n.packs), n.price))
		}
	}
	out.promised = one("promised for", typed.promised, seen.promised, now.promised)
	out.freight = one("freight", typed.freight, seen.freight, now.freight)
	out.note = one("note", typed.note, seen.note, now.note)
	return out, told
}

func packs(n string) string {
	if n == "1" {
		return "1 pack"
	}
	return n + " packs"
}

func orEmpty(text string) string {
	if text == "" {
		return "empty"
	}
	return text
}
