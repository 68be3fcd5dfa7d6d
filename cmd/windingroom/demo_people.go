package main

import (
	"context"
	"crypto/rand"
	"strings"

	"windingroom/internal/workshop"
)

// demoPeople work in the invented shop, one of each role.
var demoPeople = []struct {
	name string
	role workshop.Role
}{{"Maren Holt", workshop.Owner}, {"Ines Varga", workshop.Lead}, {"Tomas Reed", workshop.Winder}, {"Edda Blum", workshop.Bookkeeper}}

// letDemoPeopleIn lets them sign in with one password, made for this demo alone, and gives it.
func letDemoPeopleIn(ctx context.Context, shop *workshop.Shop) (password string, err error) {
	random := strings.ToLower(rand.Text())
	password = random[:4] + "-" + random[4:8] + "-" + random[8:12]
	for _, p := range demoPeople {
		if err := shop.AddPerson(ctx, p.name, p.role, password); err != nil {
			return "", err
		}
	}
	return password, nil
}
