package buying

import (
	"fmt"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// suppliersPage answers who delivers when: what each says, and what its deliveries taught.
type suppliersPage struct {
	page.Frame
	Tabs      []page.Tab
	Head      page.Head
	Suppliers []supplierView
	None      page.Empty
}

type supplierView struct {
	Code, Name string
	Facts      []page.Fact
	Lead       string
	Acts       []page.Action
}

func (p place) suppliers(r *page.Request) (page.Reply, error) {
	list, err := p.shop.Suppliers(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := suppliersPage{Frame: r.Frame("Suppliers"), Tabs: tabs(r, "/buying/suppliers")}
	v.Head = page.Head{Place: "Buying", Answer: slowest(list), Note: "Days from order to receipt. A supplier's own deliveries count from five on; until then its word, times what all suppliers together need beyond theirs."}
	v.None = page.Empty{Title: "No supplier yet", Text: "Suppliers come with the shop's files.", Command: "windingroom import DIR"}
	for _, s := range list {
		v.Suppliers = append(v.Suppliers, newSupplier(r, s))
	}
	return page.Show(suppliersTemplate, v), nil
}

func slowest(list []workshop.SupplierStory) string {
	if len(list) == 0 {
		return "No supplier yet"
	}
	last := list[0]
	for _, s := range list {
		if s.Lead.Days > last.Lead.Days {
			last = s
		}
	}
	return fmt.Sprintf("%s takes longest: %.0f days", last.Name, last.Lead.Days)
}

func newSupplier(r *page.Request, s workshop.SupplierStory) supplierView {
	u := r.Units()
	v := supplierView{Code: s.Code, Name: s.Name, Lead: learned(s)}
	v.Facts = []page.Fact{
		{Term: "Quoted", Text: days(s.Lead.Quoted)},
		{Term: "Reckoned with", Text: fmt.Sprintf("%s ± %s", days(s.Lead.Days), days(s.Lead.SD))},
		{Term: "Deliveries", Text: u.Count(s.Lead.Receipts)},
		{Term: "Order minimum", Text: u.Money(s.Currency, s.OrderMinimum).String()},
		{Term: "Freight of an order", Text: freight(r, s)},
		{Term: "Placing an order costs us", Text: u.Money(s.Currency, s.OrderCost).String()},
		{Term: "Wires", Text: page.Plural(len(s.Wires), "wire", "wires"), Href: "/buying/wires"},
	}
	for _, code := range s.Open {
		v.Facts = append(v.Facts, page.Fact{Term: "Open purchase", Text: string(code), Href: purchasePath(code)})
	}
	if mayBuy(r) {
		v.Acts = []page.Action{page.Link("Make a purchase", "/buying/purchases/new?supplier="+s.Code)}
	}
	return v
}

func freight(r *page.Request, s workshop.SupplierStory) string {
	if s.Freight == 0 && s.FreightPerKg == 0 {
		return "none"
	}
	return fmt.Sprintf("%s and %s per kg", r.Units().Money(s.Currency, s.Freight), r.Units().Money(s.Currency, s.FreightPerKg))
}

// learned says what the lead time rests on.
func learned(s workshop.SupplierStory) string {
	l := s.Lead
	switch {
	case l.Learned && l.Quoted > 0:
		return fmt.Sprintf("Learned from %s: it takes %.2f times what it quotes.", page.Plural(l.Receipts, "delivery", "deliveries"), l.Ratio)
	case l.Learned:
		return fmt.Sprintf("Learned from %s.", page.Plural(l.Receipts, "delivery", "deliveries"))
	case l.Receipts > 0:
		return fmt.Sprintf("%s: too few to learn from. Its word counts, times %.2f.", page.Plural(l.Receipts, "delivery", "deliveries"), l.Ratio)
	}
	return "No delivery of a purchase yet. Its word counts" + map[bool]string{true: ".", false: fmt.Sprintf(", times %.2f.", l.Ratio)}[l.Ratio == 1]
}

func days(d float64) string {
	if d == 1 {
		return "1 day"
	}
	return page.Number(float64(int(d*10+.5))/10) + " days"
}
