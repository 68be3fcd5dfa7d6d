package config

import (
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"go.yaml.in/yaml/v3"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
)

func noEnvironment(string) string { return "" }

func write(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "config.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLoad(t *testing.T) {
	with := func(change func(*Config)) Config {
		c := Default()
		change(&c)
		return c
	}
	tests := []struct {
		name, text string
		env        map[string]string
		want       Config
		fault      string // part of the error
	}{
		{name: "empty", want: Default()},
		{name: "only comments", text: "# nothing\n", want: Default()},
		{name: "a key without a value", text: "shop:\n", want: Default()},
		{name: "one key", text: "shop: Lark Strings\n", want: with(func(c *Config) { c.Shop = "Lark Strings" })},
		{name: "lists replace the default", text: "working_days: [Saturday]\nclosures: [2026-12-24]\n",
			want: with(func(c *Config) { c.WorkingDays, c.Closures = []string{"Saturday"}, []string{"2026-12-24"} })},
		{name: "postgres", text: "database: postgres://a:b@db/shop\n",
			want: with(func(c *Config) { c.Database = "postgres://a:b@db/shop" })},
		{name: "the environment goes before the file", text: "database: sqlite:a.db\n",
			env:  map[string]string{DatabaseVariable: "sqlite:b.db"},
			want: with(func(c *Config) { c.Database = "sqlite:b.db" })},

		{name: "unknown key", text: "adr: x\n", fault: "line 1: field adr not found"},
		{name: "key twice", text: "shop: a\nshop: b\n", fault: "already defined"},
		{name: "two documents", text: "shop: a\n---\nshop: b\n", fault: "more than one document"},
		{name: "a list where a text belongs", text: "shop: [a]\n", fault: "line 1"},
		{name: "not YAML", text: "shop: [a\n", fault: "yaml"},
		{name: "database of another kind", text: "database: mysql://x\n", fault: "database:"},
		{name: "database without a path", text: "database: 'sqlite:'\n", fault: "database:"},
		{name: "database in the environment", env: map[string]string{DatabaseVariable: "shop.db"}, fault: "database:"},
		{name: "no port", text: "addr: localhost\n", fault: "addr:"},
		{name: "a proxy's name", text: "trusted_proxies: [proxy.example]\n", fault: "trusted_proxies:"},
		{name: "proxies", text: "trusted_proxies: [127.0.0.1, 10.0.0.0/8, '::1']\n",
			want: with(func(c *Config) { c.TrustedProxies = []string{"127.0.0.1", "10.0.0.0/8", "::1"} })},
		{name: "port too high", text: "addr: localhost:70000\n", fault: "addr:"},
		{name: "no name", text: "shop: ' '\n", fault: "shop:"},
		{name: "name of two lines", text: "shop: \"a\\nb\"\n", fault: "shop:"},
		{name: "long name", text: "shop: " + strings.Repeat("x", longestShop+1) + "\n", fault: "shop:"},
		{name: "no such zone", text: "time_zone: Mars/Olympus\n", fault: "time_zone:"},
		{name: "zone outside the zones", text: "time_zone: ../../etc/passwd\n", fault: "time_zone:"},
		{name: "empty zone", text: "time_zone: ''\n", fault: "time_zone:"},
		{name: "no such weekday", text: "working_days: [mon]\n", fault: "working_days:"},
		{name: "no working day", text: "working_days: []\n", fault: "working_days:"},
		{name: "no such date", text: "closures: [2026-02-30]\n", fault: "closures:"},
		{name: "no such level", text: "log_level: loud\n", fault: "log_level:"},

		{name: "nightly jobs", text: "night_at: '23:15'\nbackup_dir: /backups\nkeep_backups: 3\n",
			want: with(func(c *Config) { c.NightAt, c.BackupDir, c.KeepBackups = "23:15", "/backups", 3 })},
		{name: "messages", text: "mail: {to: 'a@b.test, C <c@d.test>', user: shop, password: x}\nwebhook: {url: 'https://h.test/x'}\n",
			env: map[string]string{MailPasswordVariable: "hidden", WebhookTokenVariable: "too"},
			want: with(func(c *Config) {
				c.Mail.To, c.Mail.User, c.Mail.Password = "a@b.test, C <c@d.test>", "shop", "hidden"
				c.Webhook = Webhook{"https://h.test/x", "too"}
			})},
		{name: "an hour that some nights do not have", text: "night_at: '02:30'\n", fault: "night_at:"},
		{name: "no time of day", text: "night_at: 3\n", fault: "night_at:"},
		{name: "when the day begins", text: "day_begins: '06:15'\n", want: with(func(c *Config) { c.DayBegins = "06:15" })},
		{name: "no time to begin", text: "day_begins: early\n", fault: "day_begins:"},
		{name: "no backups kept", text: "keep_backups: 0\n", fault: "keep_backups:"},
		{name: "mail to nobody", text: "mail: {to: nobody}\n", fault: "mail: to:"},
		{name: "mail from nobody", text: "mail: {to: a@b.test, from: x}\n", fault: "mail: from:"},
		{name: "mail without a server", text: "mail: {to: a@b.test, host: ''}\n", fault: "mail: host:"},
		{name: "mail without a port", text: "mail: {to: a@b.test, port: 0}\n", fault: "mail: port:"},
		{name: "no such encryption", text: "mail: {to: a@b.test, encryption: ssl}\n", fault: "mail: encryption:"},
		{name: "a password in the clear", text: "mail: {to: a@b.test, encryption: none, user: shop}\n", fault: "mail: encryption:"},
		{name: "webhook of another kind", text: "webhook: {url: 'ftp://h.test'}\n", fault: "webhook: url:"},
		{name: "unknown key of mail", text: "mail: {too: a@b.test}\n", fault: "field too not found"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Load(write(t, tt.text), func(name string) string { return tt.env[name] })
			if tt.fault != "" {
				if err == nil || !strings.Contains(err.Error(), tt.fault) {
					t.Fatalf("got error %v, want one with %q", err, tt.fault)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
		})
	}
}

func TestLoadWithoutAFile(t *testing.T) {
	got, err := Load("", noEnvironment)
	if diff := cmp.Diff(Default(), got); err != nil || diff != "" {
		t.Errorf("%v, -want +got:\n%s", err, diff)
	}
	if _, err := Load(filepath.Join(t.TempDir(), "none.yaml"), noEnvironment); err == nil {
		t.Error("a file that does not exist was accepted")
	}
}

func TestValidateNamesEveryFault(t *testing.T) {
	err := Config{}.Validate()
	for _, key := range []string{"database:", "addr:", "shop:", "time_zone:", "working_days:", "day_begins:", "log_level:", "night_at:", "keep_backups:"} {
		if err == nil || !strings.Contains(err.Error(), key) {
			t.Errorf("%v does not name %s", err, key)
		}
	}
	c := Default()
	c.Database = "mysql://owner:secret@db"
	if err := c.Validate(); err == nil || strings.Contains(err.Error(), "secret") {
		t.Errorf("a password in the message: %v", err)
	}
}

func TestSecretsAreNotShown(t *testing.T) {
	c := Default()
	c.Mail.Password, c.Webhook.Token = "hidden", "hidden"
	var log strings.Builder
	slog.New(slog.NewTextHandler(&log, nil)).Info("started", "mail", c.Mail, "token", c.Webhook.Token)
	for _, text := range []string{fmt.Sprint(c), fmt.Sprintf("%+v", c), fmt.Sprintf("%#v", c), log.String()} {
		if strings.Contains(text, "hidden") {
			t.Errorf("a secret in %s", text)
		}
	}
}

func TestRecipients(t *testing.T) {
	got, err := Mail{To: "a@b.test, C <c@d.test>"}.Recipients()
	if err != nil || !slices.Equal(got, []string{"a@b.test", "c@d.test"}) {
		t.Errorf("%q, %v", got, err)
	}
}

func TestValues(t *testing.T) {
	c := Config{TimeZone: "Asia/Kathmandu", WorkingDays: []string{"Sunday", "monday"}, Closures: []string{"2026-03-02"}, LogLevel: "WARN"}
	loc, err := c.Location()
	if err != nil || loc.String() != "Asia/Kathmandu" {
		t.Errorf("zone %v, %v", loc, err)
	}
	if level, err := c.Level(); err != nil || level != slog.LevelWarn {
		t.Errorf("level %v, %v", level, err)
	}
	shop, err := c.ShopDays()
	if err != nil {
		t.Fatal(err)
	}
	sunday := calendar.NewDate(2026, time.March, 1)
	if got := []bool{shop.IsWorkday(sunday - 1), shop.IsWorkday(sunday), shop.IsWorkday(sunday + 1), shop.IsWorkday(sunday + 8)}; !slices.Equal(got, []bool{false, true, false, true}) {
		t.Errorf("Saturday, Sunday, closed Monday, Monday: works %v", got)
	}
}

func TestExampleShowsEveryKeyAndTheDefaults(t *testing.T) {
	path := filepath.Join(testkit.ModuleRoot(t), "config.example.yaml")
	got, err := Load(path, noEnvironment)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Closures) == 0 {
		t.Error("the example shows no closure")
	}
	got.Closures = nil
	if diff := cmp.Diff(Default(), got); diff != "" {
		t.Errorf("the example differs from the defaults, -default +example:\n%s", diff)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var shown map[string]any
	if err := yaml.Unmarshal(text, &shown); err != nil {
		t.Fatal(err)
	}
	for field := range reflect.TypeFor[Config]().Fields() {
		if key := field.Tag.Get("yaml"); shown[key] == nil {
			t.Errorf("the example does not show %s (key %q)", field.Name, key)
		}
	}
}

func FuzzParse(f *testing.F) {
	example, err := os.ReadFile(filepath.Join(testkit.ModuleRoot(f), "config.example.yaml"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(example)
	for _, seed := range []string{
		"", "shop: a", "shop: [", "closures: [2026-12-24]", "a: &a [*a]", "shop: !!binary aGk=", "---\n---\n", "<<: {shop: x}",
		"working_days: [monday, ~]", "\xff", "shop: \"\\u0000\"", "addr: 1", "? [a]\n: b",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := parse(text)
		if err != nil || c.Validate() != nil {
			return
		}
		printed, err := yaml.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		again, err := parse(printed)
		if diff := cmp.Diff(c, again, cmpopts.EquateEmpty()); err != nil || diff != "" {
			t.Errorf("%v, -first +again:\n%s", err, diff)
		}
	})
}
