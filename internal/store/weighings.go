package store

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// notKeeping leaves out, of movements m, those that only keep another weighing: see stock.Movement.Keeps.
const notKeeping = "m.source NOT LIKE 'weighing %'"

type weighingRow struct {
	Movement    stock.MovementID
	Gross, Tare measure.Mass
	Book, Net   measure.Mass
	Uncertainty measure.Mass
	Noise       bool
	Surprise    stock.Surprise
	Note        string
}

type shareRow struct {
	Movement stock.MovementID
	Source   string
	Mass     measure.Mass
}

// Movement gives one movement by its number.
func (r *reader) Movement(id stock.MovementID) (stock.Movement, error) {
	m, err := one[stock.Movement](r, "SELECT * FROM movements WHERE id = ?", int64(id))
	m.PostedAt, m.EffectiveAt = m.PostedAt.UTC(), m.EffectiveAt.UTC()
	return m, numbered("movement", id, err)
}

// Weighing gives the weighing behind a movement.
func (r *reader) Weighing(id stock.MovementID) (workshop.Weighing, error) {
	found, err := r.weighings("m.id = ?", int64(id))
	switch {
	case err != nil:
		return workshop.Weighing{}, err
	case len(found) == 0:
		return workshop.Weighing{}, numbered("weighing", id, workshop.ErrNotFound)
	}
	return found[0], nil
}

// Weighings gives those of some days that were not taken back.
func (r *reader) Weighings(first, last calendar.Date) ([]workshop.Weighing, error) {
	return r.weighings(`m.effective_on BETWEEN ? AND ? AND `+notKeeping+` AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id)`,
		day(first), day(last))
}

// weighings reads the weighings of a condition on their movements, m, in three queries.
func (r *reader) weighings(where string, args ...any) ([]workshop.Weighing, error) {
	from := " FROM weighings w JOIN movements m ON m.id = w.movement "
	rows, err := list[weighingRow](r, "SELECT w.*"+from+"WHERE "+where+" ORDER BY w.movement", args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	moves, err := list[stock.Movement](r, "SELECT m.*"+from+"WHERE "+where+" ORDER BY w.movement", args...)
	if err != nil {
		return nil, err
	}
	shares, err := list[shareRow](r, "SELECT s.movement, coalesce(s.batch, '') AS source, s.mass"+from+
		"JOIN weighing_shares s ON s.movement = w.movement WHERE "+where+" ORDER BY s.movement, s.number", args...)
	if err != nil {
		return nil, err
	}
	of := map[stock.MovementID][]stock.Share{}
	for _, s := range shares {
		of[s.Movement] = append(of[s.Movement], stock.Share{Source: s.Source, Mass: s.Mass})
	}
	found := make([]workshop.Weighing, len(rows))
	for i, w := range rows {
		m := moves[i]
		m.PostedAt, m.EffectiveAt = m.PostedAt.UTC(), m.EffectiveAt.UTC()
		found[i] = workshop.Weighing{Movement: m, Gross: w.Gross, Tare: w.Tare, Book: w.Book, Net: w.Net, Uncertainty: w.Uncertainty,
			Noise: w.Noise, Surprise: w.Surprise, Note: w.Note, Shares: of[w.Movement]}
	}
	return found, nil
}

// KeepWeighing keeps what the scale said behind a movement that is posted.
func (t *tx) KeepWeighing(w workshop.Weighing) error {
	const columns = "movement, gross, tare, book, net, uncertainty, noise, surprise, note"
	err := insert(t, "weighings", columns, []workshop.Weighing{w}, func(w workshop.Weighing) []any {
		return []any{int64(w.Movement.ID), w.Gross, w.Tare, w.Book, w.Net, w.Uncertainty, w.Noise, w.Surprise, w.Note}
	})
	if err != nil {
		return numbered("weighing", w.Movement.ID, err)
	}
	n := 0
	err = insert(t, "weighing_shares", "movement, number, batch, mass", w.Shares, func(s stock.Share) []any {
		n++
		return []any{int64(w.Movement.ID), n, orNull(s.Source), s.Mass}
	})
	return numbered("weighing", w.Movement.ID, err)
}

// RecipesOf gives the recipes of batches.
func (r *reader) RecipesOf(codes []batch.Code) (map[batch.Code]catalog.RecipeCode, error) {
	type row struct {
		Code   batch.Code
		Recipe catalog.RecipeCode
	}
	of := make(map[batch.Code]catalog.RecipeCode, len(codes))
	err := chunks(slices.Clone(codes), func(part []batch.Code) error {
		rows, err := list[row](r, "SELECT code, recipe FROM batches WHERE code IN ?", part)
		for _, b := range rows {
			of[b.Code] = b.Recipe
		}
		return err
	})
	return of, err
}

type watchRow struct {
	Spool     stock.SpoolCode
	WeighedOn calendar.Date
	Source    string
	Recipe    string
	Mass      measure.Mass
}

// Watches reads the ledger once: the last weighing of each spool that stands, and the draws after it less what was put back of
// them. It is stock.History for all spools at once.
func (r *reader) Watches() (map[stock.SpoolCode]workshop.Watch, error) {
	rows, err := list[watchRow](r, `
		WITH weighed AS (
			SELECT spool, id, effective_at, effective_on FROM (
				SELECT m.spool, m.id, m.effective_at, m.effective_on,
					row_number() OVER (PARTITION BY m.spool ORDER BY m.effective_at DESC, m.id DESC) AS nth
				FROM movements m
				WHERE m.kind IN ('weigh-back difference', 'count difference') AND `+notKeeping+`
					AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id)) ranked
			WHERE nth = 1
		), taken AS (
			SELECT m.spool, m.source, -m.mass - coalesce(b.mass, 0) AS mass
			FROM movements m
			LEFT JOIN movements b ON b.reverses = m.id
			LEFT JOIN weighed w ON w.spool = m.spool
			WHERE m.kind IN ('draw', 'scrap')
				AND (w.id IS NULL OR m.effective_at > w.effective_at OR (m.effective_at = w.effective_at AND m.id > w.id))
		), drawn AS (
			SELECT spool, source, sum(mass) AS mass FROM taken GROUP BY spool, source HAVING sum(mass) > 0
		)
		SELECT coalesce(d.spool, w.spool) AS spool, w.effective_on AS weighed_on, coalesce(d.source, '') AS source,
			coalesce(b.recipe, '') AS recipe, coalesce(d.mass, 0) AS mass
		FROM spools s
		LEFT JOIN weighed w ON w.spool = s.code
		LEFT JOIN drawn d ON d.spool = s.code
		LEFT JOIN batches b ON 'batch ' || b.code = d.source
		WHERE w.id IS NOT NULL OR d.spool IS NOT NULL
		ORDER BY s.code, d.source`)
	watches := map[stock.SpoolCode]workshop.Watch{}
	for _, row := range rows {
		w := watches[row.Spool]
		w.WeighedOn = row.WeighedOn
		if row.Mass > 0 {
			source := stock.Movement{Source: row.Source}.Batch()
			w.Drawn = append(w.Drawn, stock.Drawn{Source: source, Recipe: row.Recipe, Mass: row.Mass})
		}
		watches[row.Spool] = w
	}
	return watches, err
}
