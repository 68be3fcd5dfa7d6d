package exports

import (
	"fmt"
	"io"

	"windingroom/internal/workshop"
)

// A page holds two columns of four labels, each 84 mm wide, with room to cut between them. Every page is a sheet of its own, because
// spreadsheet programs that fit a sheet to a page's width do not keep page breaks set by hand.
const (
	labelSpan    = 11 // grid columns
	labelGap     = gridColumns - 2*labelSpan
	labelsAcross = 2
	labelsDown   = 4
	labelsOnPage = labelsAcross * labelsDown
)

// SpoolLabels writes labels to stick on spools, eight to a page: the code as a bar code (Code 128) and in letters, what wire it is, its lot, and
// net mass and tare in grams as received. Without any label there is one empty page.
func SpoolLabels(w io.Writer, labels []workshop.SpoolLabel) error {
	pages := max(1, (len(labels)+labelsOnPage-1)/labelsOnPage)
	b := newBook("Spool labels", labelPage(1))
	for n := 1; n <= pages; n++ {
		if n > 1 {
			b.sheet(labelPage(n))
		}
		p := &bench{book: b, sheet: labelPage(n)}
		p.grid()
		these := labels[(n-1)*labelsOnPage : min(n*labelsOnPage, len(labels))]
		for len(these) > 0 {
			across := min(labelsAcross, len(these))
			p.labels(these[:across])
			these = these[across:]
		}
		b.page(p.sheet, page{area: fmt.Sprintf("$A$1:$X$%d", max(1, p.row))})
	}
	return b.writeTo(w)
}

func labelPage(n int) string { return fmt.Sprintf("Labels %d", n) }

// labels writes labels side by side.
func (p *bench) labels(side []workshop.SpoolLabel) {
	p.beside(26, side, func(l workshop.SpoolLabel) []cell { return []cell{figure(labelSpan, string(l.Code), asText).big(20)} })
	for i, l := range side {
		p.barcode(1+i*(labelSpan+labelGap), labelSpan, string(l.Code))
	}
	p.beside(40, side, func(workshop.SpoolLabel) []cell { return []cell{{span: labelSpan, style: style{size: 8, box: thin}}} })
	p.beside(28, side, func(l workshop.SpoolLabel) []cell {
		alloy := words(6, l.Alloy) // up to three lines
		alloy.style.size = 7.5
		return []cell{text(5, string(l.Wire)).big(12), alloy}
	})
	p.beside(18, side, func(l workshop.SpoolLabel) []cell {
		return []cell{text(5, section(l.Form)), figure(3, decimal(l.Form.Size.ThouText()), asThou+`" thou"`).big(11), figure(3, l.Form.Size.Millimetres(), asMM+`" mm"`)}
	})
	p.beside(17, side, func(l workshop.SpoolLabel) []cell {
		return []cell{label(1, "lot").boxed(), text(4, l.Lot), label(2, "received").boxed(), figure(4, l.ReceivedOn, asDate)}
	})
	p.beside(17, side, func(l workshop.SpoolLabel) []cell {
		return []cell{label(1, "net").boxed(), figure(4, l.Net().Grams(), asGrams+`" g"`), label(2, "tare").boxed(), figure(4, l.Tare.Grams(), asGrams+`" g"`)}
	})
	p.beside(17, side, func(l workshop.SpoolLabel) []cell {
		return []cell{label(2, "place").boxed(), text(9, l.Location)}
	})
	p.space()
}

// beside writes one line of labels that stand side by side.
func (p *bench) beside(points float64, side []workshop.SpoolLabel, cells func(workshop.SpoolLabel) []cell) {
	var line []cell
	for i, l := range side {
		if i > 0 {
			line = append(line, gap(labelGap))
		}
		line = append(line, cells(l)...)
	}
	p.line(points, line...)
}
