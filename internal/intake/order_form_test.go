package intake

import (
	"slices"
	"testing"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

func formShop() Known {
	return Known{
		Recipes: []catalog.Recipe{{Code: "P-10"}, {Code: "W-42"}},
		Sets:    []catalog.Set{{Code: "Pair", Positions: []catalog.Position{{Number: 1, Recipe: "P-10", Scale: 25 * measure.Inch, Pitch: "E4"}, {Number: 2, Recipe: "W-42", Scale: 25 * measure.Inch, Pitch: "A2"}}}},
	}
}

func soundForm() OrderForm {
	return OrderForm{Order: "O-1", OrderedOn: "2026-02-20", DueOn: "2026-03-02", Customer: "Ada Quill", Lines: []OrderFormLine{
		{Line: "2", Set: "pair", Quantity: "3"},
		{Line: "1", Quantity: "1", Strings: []OrderFormString{{"2", "w-42", "24.75", "110"}, {"1", "P-10", "24.75", "E4"}}},
	}}
}

func TestReadOrder(t *testing.T) {
	o, problems := ReadOrder(soundForm(), formShop())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if o.Code != "O-1" || o.Status != "" || o.StringCount() != 8 || len(o.Lines) != 2 || o.Lines[0].Number != 1 || o.Lines[1].Set != "Pair" {
		t.Errorf("got %+v", o)
	}
	if s, ok := o.String(1, 2); !ok || s.Recipe != "W-42" || s.Pitch != "110" || s.Scale != 24*measure.Inch+3*measure.Inch/4 {
		t.Errorf("line 1 position 2 is %+v, %v", s, ok)
	}
	if s, ok := o.String(2, 1); !ok || s.Recipe != "P-10" {
		t.Errorf("the set's first string is %+v, %v", s, ok)
	}
}

func TestReadOrderNamesTheField(t *testing.T) {
	tests := []struct {
		name   string
		change func(*OrderForm)
		want   []string
	}{
		{"no code", func(f *OrderForm) { f.Order = "" }, []string{"order: is needed: a code such as W-12.5"}},
		{"due before it came in", func(f *OrderForm) { f.DueOn = "2026-02-01" }, []string{"due_on: 2026-02-01 is before the order came in on 2026-02-20"}},
		{"nobody", func(f *OrderForm) { f.Customer = " " }, []string{"customer: is needed: who ordered"}},
		{"no lines", func(f *OrderForm) { f.Lines = nil }, []string{"lines: is needed: one line or more"}},
		{"no strings", func(f *OrderForm) { f.Lines[1].Strings = nil }, []string{"lines[1].strings: is needed: a whole number from 1 to 1000"}},
		{"a set and strings", func(f *OrderForm) { f.Lines[1].Set = "Pair" }, []string{
			"lines[1].strings[0].position: must be empty where a standing set is named; a custom set leaves set empty",
			"lines[1].strings[0].recipe: must be empty where a standing set is named; a custom set leaves set empty",
			"lines[1].strings[0].scale_in: must be empty where a standing set is named; a custom set leaves set empty",
			"lines[1].strings[0].pitch: must be empty where a standing set is named; a custom set leaves set empty",
		}},
		{"no such set", func(f *OrderForm) { f.Lines[0].Set = "Trio" }, []string{"lines[0].set: set Trio is unknown"}},
		{"no such recipe", func(f *OrderForm) { f.Lines[1].Strings[1].Recipe = "P-11" }, []string{"lines[1].strings[1].recipe: recipe P-11 is unknown"}},
		{"no pitch", func(f *OrderForm) { f.Lines[1].Strings[0].Pitch = "H9" }, []string{"lines[1].strings[0].pitch: "}},
		{"no quantity", func(f *OrderForm) { f.Lines[0].Quantity = "0" }, []string{"lines[0].quantity: 0 is not a whole number from 1 to 100000"}},
		{"a line twice", func(f *OrderForm) { f.Lines[1].Line = "2" }, []string{"lines[1].line: 2 is another line's number already"}},
		{"a position twice", func(f *OrderForm) { f.Lines[1].Strings[1].Position = "2" }, []string{"lines[1].strings[1].position: 2 is another string's position already"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := soundForm()
			f.Lines = slices.Clone(f.Lines)
			tt.change(&f)
			_, problems := ReadOrder(f, formShop())
			for _, want := range tt.want {
				if !slices.ContainsFunc(problems, func(p Problem) bool {
					s := p.String()
					return s == want || want[len(want)-1] == ' ' && len(s) > len(want) && s[:len(want)] == want
				}) {
					t.Errorf("lacks %q:\n%v", want, problems)
				}
			}
			told := map[string]bool{}
			for _, p := range problems {
				if told[p.Column] || p.Line != 0 || p.File != "" {
					t.Errorf("told twice, or as a row: %q", p)
				}
				told[p.Column] = true
			}
		})
	}
}

func FuzzReadOrder(f *testing.F) {
	f.Add("O-1", "2026-02-20", "Ada", "1", "pair", "3", "", "", "")
	f.Add("", "", "", "", "", "", "1", "P-10", "E4")
	f.Fuzz(func(t *testing.T, code, on, customer, line, set, quantity, position, recipe, pitch string) {
		form := OrderForm{Order: code, OrderedOn: on, DueOn: on, Customer: customer, Lines: []OrderFormLine{{Line: line, Set: set, Quantity: quantity,
			Strings: []OrderFormString{{Position: position, Recipe: recipe, Scale: "25", Pitch: pitch}}}}}
		o, problems := ReadOrder(form, formShop())
		if (len(problems) == 0) != (o.Code != "") {
			t.Errorf("%+v with problems %v", o, problems)
		}
	})
}
