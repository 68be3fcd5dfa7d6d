package exports

import "github.com/xuri/excelize/v2"

// cell is one cell of a line: how many grid columns it spans, what stands in it and how it looks. down > 1 lets it reach
// into the lines below, which leave its place free with gap.
type cell struct {
	span  int
	value any
	style style
	down  int
}

// gap leaves columns of a line empty.
func gap(span int) cell { return cell{span: span} }

// label stands above or before a value.
func label(span int, text string) cell {
	return cell{span: span, value: text, style: style{format: asText, size: 8, ink: dim, align: "left", wrap: true}}
}

// text and figure are values in ordinary type, narrower where they are too long.
func text(span int, value string) cell {
	return cell{span: span, value: value, style: style{format: asText, size: 10, align: "left", box: thin, shrink: true}}
}

// left is a figure without a box, at the left under its label.
func left(span int, value any, format string) cell {
	return cell{span: span, value: value, style: style{format: format, size: 10, align: "left", shrink: true}}
}

// words is text that may need more than one line.
func words(span int, value string) cell {
	c := text(span, value)
	c.style.wrap, c.style.shrink = true, false
	return c
}

func figure(span int, value any, format string) cell {
	return cell{span: span, value: value, style: style{format: format, size: 10, align: "center", box: thin, shrink: true}}
}

// blank is a box to write in by hand.
func blank(span int) cell { return cell{span: span, style: style{size: 10, box: thick}} }

// title heads a column of a table.
func title(span int, value string) cell {
	return cell{span: span, value: value, style: style{format: asText, size: 8, bold: true, fill: pale, box: thin, align: "left", wrap: true}}
}

// big makes a cell's type larger and bold.
func (c cell) big(size float64) cell {
	c.style.size, c.style.bold = size, true
	return c
}

// boxed gives a cell a thin box, plain takes it away.
func (c cell) boxed() cell {
	c.style.box = thin
	return c
}

func (c cell) plain() cell {
	c.style.box = noBox
	return c
}

// twoLines is a code in bold with what it is in small type under it.
func twoLines(span int, code, under string) cell {
	const most = 200 // of each line, far beyond what fits
	code, under = cut(code, most), cut(under, most)
	runs := []excelize.RichTextRun{{Text: code, Font: &excelize.Font{Family: fontName, Size: 12, Bold: true}}}
	if under != "" {
		runs = append(runs, excelize.RichTextRun{Text: "\n" + under, Font: &excelize.Font{Family: fontName, Size: 8}})
	}
	return cell{span: span, value: runs, style: style{format: asText, size: 12, align: "left", box: thin, wrap: true}}
}

// wrapped estimates the lines that a text takes in so many columns, at a size in points: an average letter is a little
// less than half as wide as its size.
func wrapped(text string, span int, size float64) int {
	perLine := float64(span*gridPixels) * 0.75 / (size * 0.45)
	return max(1, int(float64(len([]rune(text)))/perLine)+1)
}

// height is what so many lines of a size need, in points.
func height(lines int, size float64) float64 { return 4 + float64(lines)*size*1.2 }

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}
