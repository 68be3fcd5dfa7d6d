package store

import (
	"errors"

	"gorm.io/gorm/clause"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/workshop"
)

type practiceRow struct {
	ID               int `gorm:"primaryKey;autoIncrement:false"`
	catalog.Practice `gorm:"embedded"`
}

func (practiceRow) TableName() string { return "practice" }

// Practice gives the shop's practice, or the defaults where it has saved none.
func (r *reader) Practice() (catalog.Practice, error) {
	row, err := one[practiceRow](r, "SELECT * FROM practice")
	if errors.Is(err, workshop.ErrNotFound) {
		return catalog.DefaultPractice(), nil
	}
	return row.Practice, err
}

// SavePractice replaces the shop's practice.
func (t *tx) SavePractice(p catalog.Practice) error {
	row := practiceRow{ID: 1, Practice: p}
	conflict := clause.OnConflict{Columns: []clause.Column{{Name: "id"}}, UpdateAll: true}
	return translate(t.db.Clauses(conflict).Create(&row).Error)
}

type alloyRow struct {
	material.Alloy `gorm:"embedded"`
}

func (alloyRow) TableName() string { return "alloys" }

// Alloys gives the alloys that the shop has added or changed.
func (r *reader) Alloys() ([]material.Alloy, error) {
	return list[material.Alloy](r, "SELECT * FROM alloys ORDER BY code")
}

// SaveAlloys adds alloys or replaces those of the same codes.
func (t *tx) SaveAlloys(alloys []material.Alloy) error {
	rows := make([]alloyRow, len(alloys))
	for i, a := range alloys {
		rows[i] = alloyRow{a}
	}
	return upsert(t, rows, "name", "density", "ferromagnetic", "core", "wrap", "strength", "source", "nickel", "tarnishes")
}

type supplierRow struct {
	catalog.Supplier `gorm:"embedded"`
}

func (supplierRow) TableName() string { return "suppliers" }

// Suppliers gives the suppliers.
func (r *reader) Suppliers() ([]catalog.Supplier, error) {
	return list[catalog.Supplier](r, "SELECT * FROM suppliers ORDER BY code")
}

// SaveSuppliers adds suppliers or replaces those of the same codes.
func (t *tx) SaveSuppliers(suppliers []catalog.Supplier) error {
	rows := make([]supplierRow, len(suppliers))
	for i, s := range suppliers {
		rows[i] = supplierRow{s}
	}
	return upsert(t, rows, "name", "lead_days", "lead_days_sd", "order_minimum", "order_cost", "freight", "freight_per_kg")
}

type machineRow struct {
	catalog.Machine `gorm:"embedded"`
}

func (machineRow) TableName() string { return "machines" }

// Machines gives the winding machines.
func (r *reader) Machines() ([]catalog.Machine, error) {
	return list[catalog.Machine](r, "SELECT * FROM machines ORDER BY code")
}

// SaveMachines adds machines or replaces those of the same codes.
func (t *tx) SaveMachines(machines []catalog.Machine) error {
	rows := make([]machineRow, len(machines))
	for i, m := range machines {
		rows[i] = machineRow{m}
	}
	return upsert(t, rows, "winds", "longest", "per_day", "shifts")
}
