package intake

import (
	"cmp"

	"windingroom/internal/catalog"
)

// longestLead bounds lead times in days: ten years.
const longestLead = 3650

type supplierRow struct {
	at
	supplier              catalog.Supplier
	minimum, cost         string
	freight, freightPerKg string // empty where the file has none
}

func (f *Folder) takeSupplier(r *row) {
	s := catalog.Supplier{
		Code:       r.code("supplier"),
		Name:       r.text("name"),
		LeadDays:   r.number("lead_days", 0, longestLead),
		LeadDaysSD: r.number("lead_days_sd", 0, longestLead),
	}
	s.Name = cmp.Or(s.Name, s.Code)
	minimum, cost := r.amount("order_minimum"), r.amount("order_cost")
	freight, perKg := r.amountGiven("freight"), r.amountGiven("freight_per_kg")
	f.suppliers = append(f.suppliers, supplierRow{r.at(), s, minimum, cost, freight, perKg})
}

func (r *resolution) takeSuppliers() {
	for _, row := range r.folder.suppliers {
		s := row.supplier
		if s.Code == "" {
			continue
		}
		it, first := claim(r, &r.suppliers, row.at, "supplier", s.Code)
		if !first {
			continue
		}
		s.Code = it.code
		s.OrderMinimum, _ = r.amount(suppliersFile, row.line, "order_minimum", row.minimum)
		s.OrderCost, _ = r.amount(suppliersFile, row.line, "order_cost", row.cost)
		s.Freight, _ = r.amount(suppliersFile, row.line, "freight", row.freight)
		s.FreightPerKg, _ = r.amount(suppliersFile, row.line, "freight_per_kg", row.freightPerKg)
		same := s == it.value
		r.suppliers.put(it, s, !row.bad)
		if !row.bad && r.count(suppliersFile, it.known, same) {
			r.facts.Suppliers = append(r.facts.Suppliers, s)
		}
	}
}
