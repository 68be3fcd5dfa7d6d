package workshop

// WorkReader is what the shop knows of the life of orders and batches: allocations by wire, results, traces.
type WorkReader interface {
}

// WorkTx writes it.
type WorkTx interface {
}
