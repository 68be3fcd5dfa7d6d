package problem

import (
	"context"
	"net/http"

	"windingroom/internal/batch"
	"windingroom/internal/password"
	"windingroom/internal/planning"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
	"windingroom/internal/workshop"
)

const typePrefix = "/problems/"

// kind is one row of the table: every error of errs is answered with its status, type and title. What the error says in
// full is the detail.
type kind struct {
	name   string
	status int
	title  string
	help   string // what a person can do about it
	errs   []error
	http   bool // belongs to the request as such: a status alone tells which one it is
}

// kinds is the table. The first row that fits an error answers it, so an error that wraps two sentinels is answered by the
// more telling one above.
var kinds = []kind{
	{"sign-in-needed", http.StatusUnauthorized, "Sign-in needed",
		"Send a bearer token made with windingroom token add, or sign in on the page.", []error{workshop.ErrUnknownPerson}, false},
	{"forbidden", http.StatusForbidden, "Not allowed",
		"Ask someone with the role that is named.", []error{workshop.ErrForbidden}, false},
	{"not-found", http.StatusNotFound, "Not found",
		"Look at the spelling of the code or date.", []error{workshop.ErrNotFound}, false},
	{"already-there", http.StatusConflict, "Already there",
		"Choose another code, or leave what is there as it is.", []error{workshop.ErrExists}, false},
	{"changed", http.StatusConflict, "Changed in the meantime",
		"Look at the present state and try again; for a day, propose it again.", []error{workshop.ErrChanged}, false},
	{"not-enough-wire", http.StatusConflict, "Not enough free wire",
		"Receive wire, or plan fewer strings.", []error{workshop.ErrShort}, false},
	{"released", http.StatusConflict, "The day is released",
		"A released day stands as it is.", []error{workshop.ErrReleased}, false},
	{"not-released", http.StatusConflict, "The day is not released yet",
		"Release the day first.", []error{workshop.ErrNotReleased}, false},
	{"stage", http.StatusConflict, "Not at this stage",
		"Look at where the order or batch stands; undo a wrong result before you post it again.", []error{workshop.ErrStage}, false},
	{"closed", http.StatusConflict, "The month is closed",
		"Post into the open month and name the movement it corrects.", []error{workshop.ErrClosed}, false},
	{"not-closable", http.StatusConflict, "The month cannot be closed yet",
		"Do what is named, then close it.", []error{workshop.ErrNotClosable}, false},
	{"books-off", http.StatusConflict, "The books do not tie out",
		"Run windingroom verify; ask with unreconciled=true for the workbook all the same, to look into it.", []error{workshop.ErrOff}, false},
	{"surprising-weighing", http.StatusConflict, "A surprising weighing",
		"Weigh the spool again and send both readings, or have a lead or the owner confirm it.", []error{stock.ErrUnconfirmed}, false},
	{"impossible-weighing", http.StatusConflict, "A weighing that cannot be right",
		"Look whether it is the right spool, and at its receipt and tare.", []error{stock.ErrImpossible}, false},
	{"below-minimum", http.StatusConflict, "Below the supplier's minimum",
		"Add to the purchase, or send it with confirm and a reason.", []error{workshop.ErrBelowMinimum}, false},
	{"doubtful-tare", http.StatusConflict, "Hardly a tare of this type",
		"Look whether wire is left on it, or give the type another name.", []error{stock.ErrTare}, false},
	{"quarantined", http.StatusConflict, "The spool is quarantined",
		"Have a lead release it, or take another spool.", []error{stock.ErrWithheld}, false},
	{"ledger", http.StatusConflict, "The ledger refuses this",
		"Weigh or count the spool first.", []error{stock.ErrNegative, stock.ErrTooMuch, stock.ErrBelow}, false},
	{"database-away", http.StatusServiceUnavailable, "The database does not answer",
		"Wait a moment and look whether what you did was kept; if it stays so, see that the database runs and can be reached.", []error{workshop.ErrAway}, false},
	{"last-owner", http.StatusConflict, "The last owner stays",
		"Make someone else an owner first.", []error{workshop.ErrLastOwner}, false},
	{"wrong-sign-in", http.StatusUnprocessableEntity, "Not signed in",
		"Try again; an owner can set a new password with windingroom user password NAME.", []error{workshop.ErrSignIn}, false},
	{"slowed", http.StatusTooManyRequests, "Too many tries",
		"Wait as long as is said, then try again.", []error{workshop.ErrSlowed}, false},
	{"not-ready", http.StatusServiceUnavailable, "Not ready",
		"Wait a moment; if it stays so, run windingroom migrate.", []error{workshop.ErrNotReady}, false},
	{"busy", http.StatusServiceUnavailable, "Busy",
		"Try again in a moment.", []error{workshop.ErrBusy, password.ErrCrowded}, false},
	{"disk-full", http.StatusInsufficientStorage, "The disk is full",
		"Make room on the server's disk and try again; nothing was half written.", []error{workshop.ErrFull}, false},
	{"cannot-be-wound", http.StatusUnprocessableEntity, "This cannot be wound",
		"Correct the recipe, wire or yield that is named.", []error{winding.ErrGeometry, planning.ErrOverage}, false},
	{"spools", http.StatusUnprocessableEntity, "The spools do not fit the batch",
		"Name the spools that were wound from, with the strings of each.", []error{batch.ErrSpools}, false},
	invalid,

	{"malformed", http.StatusBadRequest, "The request cannot be read",
		"Send one JSON document.", []error{ErrMalformed}, true},
	{"cross-origin", http.StatusForbidden, "Sent from another site",
		"Open the page here and send its form again.", []error{ErrCrossOrigin}, false},
	{"no-such-address", http.StatusNotFound, "Nothing here",
		"Look at the address.", []error{ErrNoRoute}, true},
	{"method", http.StatusMethodNotAllowed, "Not that way",
		"The header Allow names the methods of this address.", []error{ErrMethod}, true},
	{"not-acceptable", http.StatusNotAcceptable, "No such form of the answer",
		"Ask for application/json.", []error{ErrNotAcceptable}, true},
	{"slow", http.StatusRequestTimeout, "Too slow",
		"Send the request again.", []error{ErrSlow}, true},
	{"key-reused", http.StatusUnprocessableEntity, "Idempotency-Key used for another request",
		"Use a fresh key for each new request.", []error{ErrKeyReused}, false},
	{"key-busy", http.StatusConflict, "Still being answered",
		"Wait a moment and send the same request with the same key again.", []error{ErrKeyBusy}, false},
	{"too-large", http.StatusRequestEntityTooLarge, "Too large",
		"Send less at a time.", []error{ErrTooLarge}, true},
	{"media-type", http.StatusUnsupportedMediaType, "Not JSON",
		"Send JSON.", []error{ErrMediaType}, true},
	{"took-too-long", http.StatusServiceUnavailable, "Took too long",
		"Try again.", []error{context.DeadlineExceeded}, false},
	{"gone-away", statusClientClosed, "The request was given up",
		"Send it again.", []error{context.Canceled}, false},
	internal,
}

// statusClientClosed has no name in the standard: the one who asked has gone, and only the log reads the answer.
const statusClientClosed = 499

// invalid answers every error that lists fields at fault.
var invalid = kind{"invalid", http.StatusUnprocessableEntity, "Something in the request is not right",
	"Correct the fields that are listed.", nil, false}

// internal answers every error that has no row. Its detail is always empty.
var internal = kind{"internal", http.StatusInternalServerError, "Internal error",
	"Try again. If it happens again, give the request number to whoever looks after the service: the log tells more.", nil, false}

// Help gives the title of a type by its name, and what a person can do about it.
func Help(name string) (title, help string, ok bool) {
	for _, k := range kinds {
		if k.name == name {
			return k.title, k.help, true
		}
	}
	return "", "", false
}
