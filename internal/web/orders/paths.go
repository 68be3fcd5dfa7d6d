package orders

import (
	"net/url"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Addresses of the place and of what it leads to.

func orderPath(code order.Code) string       { return "/orders/" + url.PathEscape(string(code)) }
func wirePath(code material.WireCode) string { return "/wire/wires/" + url.PathEscape(string(code)) }
func spoolPath(code stock.SpoolCode) string  { return "/wire/spools/" + url.PathEscape(string(code)) }
func batchPath(code batch.Code) string       { return "/batches/" + url.PathEscape(string(code)) }
func dayPath(day calendar.Date) string       { return "/?date=" + day.String() }
func lotPath(lot string) string              { return "/wire/trace?" + url.Values{"lot": {lot}}.Encode() }
func tracePath(code order.Code) string {
	return "/wire/trace?" + url.Values{"order": {string(code)}}.Encode()
}

// listPath is the address of the orders of one customer, whatever their state.
func listPath(customer string) string {
	return "/orders?" + url.Values{"show": {"all"}, "customer": {customer}}.Encode()
}
