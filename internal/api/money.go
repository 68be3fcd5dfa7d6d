package api

import (
	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/money"
)

// Amount is money as a JSON number with all of the currency's decimals (12.50), exact where a float would not be.
type Amount string

func amount(c money.Currency, m money.Minor) Amount { return Amount(c.Text(m)) }

// MarshalJSON writes the digits as they are.
func (a Amount) MarshalJSON() ([]byte, error) { return []byte(a), nil }

// Schema describes a number.
func (Amount) Schema(huma.Registry) *huma.Schema { return &huma.Schema{Type: "number"} }
