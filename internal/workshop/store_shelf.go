package workshop

// ShelfReader is what the shop knows of its spools beyond their balances: types and tares, weighings, deliveries.
type ShelfReader interface {
}

// ShelfTx writes it.
type ShelfTx interface {
}
