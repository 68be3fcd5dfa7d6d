package wire

import (
	"errors"
	"net/http"
	"strconv"

	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// spoolForm is something that may be done with a spool, in a fold of its page.
type spoolForm struct {
	Act    string
	Title  string
	To     string
	Text   string // what will happen
	Button string
	Danger bool
	Key    string // empty where doing it twice does no harm
	Fields []page.Field
	Faults page.Faults
	Open   bool
}

// spoolAct does what a form asks and says what was done.
type spoolAct func(p place, r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error)

// spoolActs are what may be done with a spool, by the last part of their addresses.
var spoolActs = map[string]spoolAct{
	"place": place.move, "quarantine": place.quarantine, "release": place.release, "return": place.returnIt, "write-off": place.writeOff, "take-back": place.takeBack,
}

// undone is the reason of what is taken back by the bar at the top of a page.
const undone = "undone at once"

// spoolForms are the forms that somebody may send; f is that of the act that was refused.
func spoolForms(r *page.Request, s workshop.SpoolStory, act string, f *page.Form) []spoolForm {
	b, path := s.Spool, spoolPath(s.Spool.Code)
	var forms []spoolForm
	add := func(name, title, text, button string, fields func(*page.Form) []page.Field, roles ...workshop.Role) {
		if !r.May(roles...) {
			return
		}
		own, form := page.NewForm(nil), spoolForm{Act: name, Title: title, To: path + "/" + name, Text: text, Button: button}
		if name == act {
			own, form.Open = f, true
		}
		for _, field := range fields(own) {
			form.Fields = append(form.Fields, field.Unique(name))
		}
		form.Faults = own.Said(form.Fields...)
		form.Danger = name == "return" || name == "write-off" || name == "take-back"
		forms = append(forms, form)
	}
	reason := func(f *page.Form) []page.Field { return []page.Field{f.Field("reason", "Why").Required()} }
	takeOff := func(f *page.Form) []page.Field {
		return []page.Field{f.Field("mass_g", "How much").Number(r.Units().MassUnit()).Hinted("Empty for all of it: " + r.Units().Mass(b.Mass).String() + "."), reason(f)[0]}
	}
	add("place", "Carry to another place", "", "Move", func(f *page.Form) []page.Field {
		return []page.Field{f.Field("location", "Place").Required().Starting(b.Location)}
	}, workshop.Roles()...)
	if b.State == stock.Quarantined {
		add("release", "Release from quarantine", "Plans may draw on it again.", "Release", reason, workshop.Lead)
	} else {
		add("quarantine", "Quarantine", "Nothing draws on it until it is released.", "Quarantine", reason, workshop.Lead)
	}
	if b.Mass > 0 {
		add("return", "Return to the supplier", "The wire leaves the shop and its books.", "Return", takeOff, receivers...)
		add("write-off", "Write off", "The wire leaves the books: it is no good, or not there.", "Write off", takeOff, receivers...)
	}
	if options := reversible(r, s); len(options) > 0 {
		add("take-back", "Take a movement back", "A new movement takes it back; both stay in the books.", "Take back", func(f *page.Form) []page.Field {
			return []page.Field{f.Field("movement", "Movement").Required().Choice(options...), reason(f)[0]}
		}, receivers...)
	}
	return forms
}

// reversible lists the movements that may be taken back.
func reversible(r *page.Request, s workshop.SpoolStory) []page.Option {
	var options []page.Option
	for _, e := range s.Events {
		if e.Reversible {
			number := strconv.Itoa(int(e.ID))
			options = append(options, page.Option{Value: number, Text: "no. " + number + ": " + kindText(e) + ", " + r.Units().Mass(e.Mass).String() + ", " + r.Units().Moment(e.EffectiveAt)})
		}
	}
	return options
}

// act answers the form of an act.
func (p place) act(name string) page.Handler {
	return func(r *page.Request) (page.Reply, error) {
		f, err := r.Form()
		if err != nil {
			return page.Reply{}, err
		}
		code := stock.SpoolCode(r.Param("spool"))
		done, err := spoolActs[name](p, r, code, f)
		if err == nil && f.OK() {
			return r.Back(spoolPath(code), done, nil)
		}
		if err := refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		return p.showSpool(r, name, f, page.Refused)
	}
}

// refuse notes what was refused, if anything was; of who may not do it, the whole page tells.
func refuse(f *page.Form, err error) error {
	if err == nil || problem.From(err).Status == http.StatusForbidden {
		return err
	}
	return f.Refuse(err)
}

func (p place) move(r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error) {
	before, err := p.shop.SpoolStory(r.Ctx(), code)
	if err != nil {
		return page.Notice{}, err
	}
	now, err := p.shop.Place(r.Ctx(), code, f.Get("location"))
	done := page.Done(string(code) + " stands at " + now.Spool.Location + ".")
	if was := before.Spool.Location; was != "" && was != now.Spool.Location {
		done = done.Undoing(spoolPath(code)+"/place", "location", was)
	}
	return done, err
}

func (p place) quarantine(r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error) {
	_, err := p.shop.Quarantine(r.Ctx(), code, f.Get("reason"))
	return page.Done(string(code)+" is in quarantine.").Undoing(spoolPath(code)+"/release", "reason", undone), err
}

func (p place) release(r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error) {
	_, err := p.shop.ReleaseSpool(r.Ctx(), code, f.Get("reason"))
	return page.Done(string(code)+" is released: plans may draw on it.").Undoing(spoolPath(code)+"/quarantine", "reason", undone), err
}

func (p place) returnIt(r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error) {
	in := takeOffOf(r, code, f)
	if !f.OK() {
		return page.Notice{}, nil
	}
	out, err := p.shop.ReturnToSupplier(r.Ctx(), in)
	return takenOff(r, out, "went back to the supplier"), err
}

func (p place) writeOff(r *page.Request, code stock.SpoolCode, f *page.Form) (page.Notice, error) {
	in := takeOffOf(r, code, f)
	if !f.OK() {
		return page.Notice{}, nil
	}
	out, err := p.shop.WriteOff(r.Ctx(), in)
	return takenOff(r, out, "is written off"), err
}

func takeOffOf(r *page.Request, code stock.SpoolCode, f *page.Form) workshop.TakeOff {
	in := workshop.TakeOff{Spool: code, Reason: f.Get("reason"), Key: f.Get("key")}
	if f.Get("mass_g") != "" {
		in.Mass = page.Read(f, "mass_g", r.Units().ParseMass)
		if in.Mass == 0 && f.OK() {
			f.Wrong["mass_g"] = "must be more than 0; leave it empty for all of it"
		}
	}
	return in
}

func takenOff(r *page.Request, out workshop.Posted, what string) page.Notice {
	return page.Done(r.Units().Mass(-out.Movement.Mass).String()+" of "+string(out.Spool.Code)+" "+what+".").
		Undoing(undoPath(out.Movement.ID), "spool", string(out.Spool.Code))
}

func undoPath(id stock.MovementID) string {
	return "/wire/movements/" + strconv.Itoa(int(id)) + "/undo"
}

func (p place) takeBack(r *page.Request, _ stock.SpoolCode, f *page.Form) (page.Notice, error) {
	id := page.Read(f, "movement", movementID)
	if !f.OK() {
		return page.Notice{}, nil
	}
	out, err := p.shop.Reverse(r.Ctx(), id, f.Get("reason"))
	return page.Done("Movement " + strconv.Itoa(int(id)) + " is taken back: " + string(out.Spool.Code) + " holds " + r.Units().Mass(out.Spool.Mass).String() + "."), err
}

// undo takes back what was posted a moment ago, from the bar at the top of a page: a weighing, by who weighed; anything else by who
// may reverse.
func (p place) undo(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	id, err := movementID(r.Param("movement"))
	if err != nil {
		return page.Reply{}, problem.At("movement", err)
	}
	var out workshop.Posted
	if f.Get("weighing") != "" {
		out, err = p.shop.UndoWeighing(r.Ctx(), id)
	} else {
		out, err = p.shop.Reverse(r.Ctx(), id, undone)
	}
	to := spoolPath(stock.SpoolCode(f.Get("spool")))
	return r.Back(to, page.Done("Undone: "+string(out.Spool.Code)+" holds "+r.Units().Mass(out.Spool.Mass).String()+" again."), err)
}

var errNoMovement = errors.New("is not the number of a movement")

func movementID(text string) (stock.MovementID, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n <= 0 {
		return 0, errNoMovement
	}
	return stock.MovementID(n), nil
}
