package people

import (
	"html/template"
	"strings"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// tokensPage answers which programs come in, and as what.
type tokensPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Tokens page.Table
	Faults page.Faults
	Fields []page.Field
}

// madePage shows a new token, once.
type madePage struct {
	page.Frame
	Tabs  []page.Tab
	Name  string
	Role  string
	Token string
}

func (p place) tokens(r *page.Request) (page.Reply, error) {
	return p.showTokens(r, page.NewForm(nil), page.Show)
}

func (p place) showTokens(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	tokens, err := p.shop.Tokens(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	holding := 0
	for _, k := range tokens {
		if k.RevokedAt.IsZero() {
			holding++
		}
	}
	v := tokensPage{Frame: r.Frame("Tokens"), Tabs: tabs(r, "/tokens"), Tokens: page.NewTable(r.Request.URL.Query(), tokenList(r), tokens)}
	v.Head = page.Head{Place: "People", Answer: page.Plural(holding, "token holds", "tokens hold"),
		Note: "A program shows its token to the API and acts under the token's name, with its role."}
	name := f.Field("name", "Name").Required().Hinted("Of the program; it stands in the books under what it does.")
	name.Complete = "off"
	v.Fields = []page.Field{name, f.Field("role", "Role").Required().Choice(roleOptions()...)}
	v.Faults = f.Said(v.Fields...)
	return as(tokensTemplate, v), nil
}

func tokenList(r *page.Request) page.Spec[workshop.Token] {
	return page.Spec[workshop.Token]{ID: "tokens", Caption: "Tokens of programs", Path: "/tokens", Sort: "name",
		Empty: page.Empty{Title: "No token yet", Text: "Make one for each program that uses the API."},
		Columns: []page.Column[workshop.Token]{
			{Key: "name", Head: "Name", Cell: func(k workshop.Token) page.Cell { return page.Text(k.Name) },
				Compare: func(a, b workshop.Token) int {
					return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
				}},
			{Key: "role", Head: "Role", Cell: func(k workshop.Token) page.Cell { return page.Text(string(k.Role)) },
				Compare: func(a, b workshop.Token) int { return strings.Compare(string(a.Role), string(b.Role)) }},
			{Key: "made", Head: "Made", Cell: func(k workshop.Token) page.Cell { return page.Text(r.Units().Moment(k.CreatedAt)) },
				Compare: func(a, b workshop.Token) int { return a.CreatedAt.Compare(b.CreatedAt) }},
			{Key: "used", Head: "Last used", Cell: func(k workshop.Token) page.Cell {
				if k.UsedAt.IsZero() {
					return page.Text("never")
				}
				return page.Text(r.Units().Moment(k.UsedAt))
			}, Compare: func(a, b workshop.Token) int { return a.UsedAt.Compare(b.UsedAt) }},
			{Key: "state", Head: "Holds", Cell: func(k workshop.Token) page.Cell {
				if !k.RevokedAt.IsZero() {
					return page.Cell{Tags: []page.Tag{{Text: "revoked", Tone: page.Wait}}, Note: r.Units().Moment(k.RevokedAt)}
				}
				revoke := page.Button("Revoke", "/tokens/revoke", "name", k.Name).Asking("Whoever holds the token of " + k.Name + " is shut out at once and for good.")
				return page.Cell{Act: &revoke}
			}},
		}}
}

// addToken makes a token and shows it in the answer itself: it is kept nowhere from which another page could show it.
func (p place) addToken(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	name, role := f.Get("name"), f.Get("role")
	token, err := p.shop.AddToken(r.Ctx(), name, workshop.Role(role))
	if err == nil {
		return page.Show(madeTemplate, madePage{Frame: r.Frame("New token"), Tabs: tabs(r, "/tokens"), Name: name, Role: role, Token: token}), nil
	}
	if !r.May() {
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.showTokens(r, f, page.Refused)
}

func (p place) revoke(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	name := f.Get("name")
	err = p.shop.RevokeToken(r.Ctx(), name)
	if err != nil && !r.May() {
		return page.Reply{}, err
	}
	return r.Back("/tokens", page.Done("The token of "+name+" is revoked."), err)
}
