package workshop

import (
	"time"

	"windingroom/internal/batch"
)

// BenchReader is what the shop knows of batches while they are wound.
type BenchReader interface {
	// Marks gives what the bench said of some batches, taken back or not, by number.
	Marks(codes ...batch.Code) (map[batch.Code][]batch.Mark, error)
	// MarkByKey gives the mark made under an idempotency key.
	MarkByKey(key string) (batch.Mark, error)
	// Posted adds up the results of some batches that stand.
	Posted(codes ...batch.Code) (map[batch.Code]PostedSum, error)
}

// BenchTx writes it.
type BenchTx interface {
	AddMark(batch.Mark) (batch.Mark, error) // under the batch's next number
	// UndoMark takes a mark back; ErrChanged where it is taken back already or a result took it.
	UndoMark(code batch.Code, number int, at time.Time) error
	// TakeTally has a result take a batch's open marks; GiveTallyBack opens them again.
	TakeTally(code batch.Code, result int) error
	GiveTallyBack(code batch.Code, result int) error
	// DropTally forgets all marks of a batch.
	DropTally(code batch.Code) error
}

// PostedSum is what the results of a batch say together.
type PostedSum struct {
	batch.Results
	LastAt time.Time
}
