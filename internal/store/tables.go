package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
)

// table is one of the schema, which both databases have with the same columns.
type table struct {
	name    string
	columns []string
}

// list gives the columns for a statement. Each is quoted: usage, position and others are words of SQL.
func (t table) list() string { return `"` + strings.Join(t.columns, `","`) + `"` }

// querier is a connection or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// tablesOf gives the tables of an SQLite database, each after those that it refers to, as PostgreSQL checks at the end of each statement.
func tablesOf(ctx context.Context, q querier) ([]table, error) {
	columns, names, err := pairs(ctx, q, `SELECT t.name, c.name FROM sqlite_master t JOIN pragma_table_info(t.name) c
		WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%' AND t.name <> 'goose_db_version' ORDER BY t.name, c.cid`)
	if err != nil {
		return nil, err
	}
	refers, _, err := pairs(ctx, q, `SELECT DISTINCT t.name, f."table" FROM sqlite_master t JOIN pragma_foreign_key_list(t.name) f
		WHERE t.type = 'table' AND f."table" <> t.name ORDER BY 1, 2`)
	if err != nil {
		return nil, err
	}
	var ordered []table
	seen := map[string]bool{}
	var add func(string)
	add = func(name string) {
		if seen[name] {
			return
		}
		seen[name] = true
		for _, other := range refers[name] {
			add(other)
		}
		ordered = append(ordered, table{name, columns[name]})
	}
	for _, name := range names {
		add(name)
	}
	return ordered, nil
}

// pairs gathers the second column of an answer by the first, and the first in its order.
func pairs(ctx context.Context, q querier, query string) (of map[string][]string, order []string, err error) {
	rows, err := q.QueryContext(ctx, query)
	if err != nil {
		return nil, nil, err
	}
	defer rows.Close()
	of = map[string][]string{}
	for rows.Next() {
		var a, b string
		if err := rows.Scan(&a, &b); err != nil {
			return nil, nil, err
		}
		if len(of[a]) == 0 {
			order = append(order, a)
		}
		of[a] = append(of[a], b)
	}
	return of, order, rows.Err()
}

// each gives the rows of a table one after the other; do may keep what a row holds, but not the slice.
func (t table) each(ctx context.Context, q querier, do func(row []any) error) error {
	rows, err := q.QueryContext(ctx, fmt.Sprintf(`SELECT %s FROM "%s"`, t.list(), t.name))
	if err != nil {
		return err
	}
	defer rows.Close()
	row, into := make([]any, len(t.columns)), make([]any, len(t.columns))
	for i := range row {
		into[i] = &row[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := do(row); err != nil {
			return err
		}
	}
	return rows.Err()
}
