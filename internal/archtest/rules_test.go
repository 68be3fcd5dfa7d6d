package archtest

// A rule says what one package may import. Inside the module that is every package of a lower layer, and of its own layer those
// it names in beside. A pure package computes and does nothing else: it imports pure packages only, and reaches no
// third-party library but those it names.
type rule struct {
	layer  int
	pure   bool
	beside []string // packages of the same layer it may import
	libs   []string // third-party libraries a pure package may reach
	std    []string // standard packages it imports although they are closed to pure packages
	never  []string // must not be reached, however far away
	direct []string // must not be imported by the package itself
}

// rules has one line for each package; a package without a line fails the test. Paths are relative to the module.
var rules = map[string]rule{
	// Quantities, money, shop days.
	"internal/measure":  {layer: 0, pure: true},
	"internal/money":    {layer: 0, pure: true, libs: []string{"github.com/shopspring/decimal", "golang.org/x/text"}},
	"internal/calendar": {layer: 0, pure: true},

	// Physics and geometry. stringdesign is told the unit weight; winding knows nothing of pitches.
	"internal/material":     {layer: 1, pure: true},
	"internal/stringdesign": {layer: 1, pure: true, beside: []string{"internal/material"}},
	"internal/winding":      {layer: 1, pure: true, beside: []string{"internal/material"}},

	// Facts and their rules. Orders and stock do not know each other; a batch names the order lines it serves and the spools it
	// draws on.
	"internal/catalog":  {layer: 2, pure: true},
	"internal/order":    {layer: 2, pure: true, beside: []string{"internal/catalog"}},
	"internal/stock":    {layer: 2, pure: true},
	"internal/batch":    {layer: 2, pure: true, beside: []string{"internal/catalog", "internal/order", "internal/stock"}},
	"internal/purchase": {layer: 2, pure: true, beside: []string{"internal/stock"}},

	"internal/fields": {layer: 2, pure: true}, // JSON read field by field

	// Sums over snapshots.
	"internal/estimate":     {layer: 3, pure: true},
	"internal/setwork":      {layer: 3, pure: true, beside: []string{"internal/estimate"}},
	"internal/intake":       {layer: 3, pure: true, std: []string{"io/fs"}}, // reads the folder it is handed, opens none
	"internal/requirements": {layer: 3, pure: true},
	"internal/planning":     {layer: 3, pure: true, beside: []string{"internal/requirements"}},
	"internal/promise":      {layer: 3, pure: true, beside: []string{"internal/planning", "internal/replenishment", "internal/requirements"}, libs: []string{"gonum.org/v1/gonum"}},

	// What the day plan is made with: random numbers, the sequence of batches, the cutting of spools. They know no shop.
	"internal/planning/dice":       {layer: 0, pure: true},
	"internal/planning/sequencing": {layer: 1, pure: true},
	"internal/planning/cutting":    {layer: 1, pure: true},

	"internal/replenishment": {layer: 3, pure: true, beside: []string{"internal/requirements"}, libs: []string{"gonum.org/v1/gonum"}},
	"internal/costing":       {layer: 3, pure: true},

	// Values that doors and storage share.
	"migrations":        {layer: 1},
	"testdata/scenario": {layer: 1},                                                                                   // the demo's files, embedded
	"internal/units":    {layer: 1, pure: true, libs: []string{"github.com/shopspring/decimal", "golang.org/x/text"}}, // how a shop reads quantities
	"internal/config":   {layer: 1, beside: []string{"internal/units"}},                                               // the calendar tells it what a date and a shop's week are
	"internal/password": {layer: 1},                                                                                   // keeps passwords as hashes

	// Use cases, and the storage that serves them.
	"internal/workshop": {layer: 4, direct: []string{"os"},
		never: []string{gorm, gin, "net/http", excelize, cron, "windingroom/migrations", "windingroom/internal/config"}},
	"internal/store": {layer: 4, beside: []string{"internal/workshop"}, never: []string{gin, "net/http", excelize, cron}},

	// Doors. They do not know the storage, and of each other only the workbooks, the shared
	// engine and the table of errors.
	"internal/problem": {layer: 5, never: []string{gorm, gin, store}},
	"exports":          {layer: 5, direct: []string{"os"}, never: []string{gorm, gin, store}},
	"internal/httpd":   {layer: 5, beside: []string{"internal/problem"}, never: []string{gorm, store}}, // what pages and API share
	"internal/notify":  {layer: 5, never: []string{gorm, gin, store}},
	"jobs":             {layer: 5, never: []string{gorm, gin, store}},
	"internal/api":     {layer: 5, beside: []string{"exports", "internal/httpd", "internal/problem"}, never: []string{gorm, store}},
	"internal/web":     {layer: 5, beside: append(places, "internal/httpd", "internal/problem", "internal/web/page"), never: []string{gorm, store}},

	// What the places of the pages share, and the places. A place knows no other place.
	"internal/web/page":   {layer: 5, beside: []string{"internal/httpd", "internal/problem"}, never: []string{gorm, store}},
	"internal/web/chart":  {layer: 5, beside: []string{"internal/web/page"}, never: []string{gorm, store}},
	"internal/web/today":  place,
	"internal/web/buying": place,
	"internal/web/jobs":   place,
	"internal/web/sets":   place,
	"internal/web/orders": place,
	"internal/web/people": place,
	"internal/web/books":  {layer: 5, beside: append([]string{"internal/httpd"}, place.beside...), never: place.never}, // long files
	"internal/web/wire":   place,

	// The one place that wires everything; and what only tests may use.
	"cmd/windingroom":  {layer: 6},
	"internal/testkit": {layer: 7},

	"internal/web/page/pagetest": {layer: 7},
	"internal/testkit/visit":     {layer: 8},
	"internal/archtest":          {layer: 7},
}

// place is the rule of a place of the pages; places lists them for the package that puts them together.
var (
	place  = rule{layer: 5, beside: []string{"exports", "internal/problem", "internal/web/page", "internal/web/chart"}, never: []string{gorm, store}}
	places = []string{"internal/web/today", "internal/web/buying", "internal/web/jobs", "internal/web/orders", "internal/web/sets", "internal/web/people", "internal/web/books", "internal/web/wire"}
)

const (
	gorm     = "gorm.io"
	gin      = "github.com/gin-gonic/gin"
	excelize = "github.com/xuri/excelize/v2"
	cron     = "github.com/robfig/cron/v3"
	store    = "windingroom/internal/store"
)

// closedToPure lists the standard packages through which a package reads or changes the world outside it.
var closedToPure = []string{"os", "io/fs", "io/ioutil", "log", "database/sql", "net", "syscall"}

// openToPure lists those below closedToPure that only describe values: how one is stored, how an address is written.
var openToPure = []string{"database/sql/driver", "net/url", "net/netip"}
