// Package config reads how one installation is set up: a YAML file, then the environment, over defaults that stand here.
// What the trade decides (allowances, setup minutes, currency) is not configuration; it is imported as the shop's practice.
package config

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"

	"go.yaml.in/yaml/v3"
)

// Config is what `serve` needs to know. Its values are checked texts; the methods give them as values of the program.
type Config struct {
	Database    string   `yaml:"database"`     // sqlite:PATH or a postgres:// address
	Addr        string   `yaml:"addr"`         // HOST:PORT to serve on
	Shop        string   `yaml:"shop"`         // name on pages and printed sheets
	TimeZone    string   `yaml:"time_zone"`    // IANA name, or Local for the machine's own
	WorkingDays []string `yaml:"working_days"` // English names of weekdays
	Closures    []string `yaml:"closures"`     // dates without work, YYYY-MM-DD
	DayBegins   string   `yaml:"day_begins"`   // HH:MM in the shop's zone, when the machines' day begins
	LogLevel    string   `yaml:"log_level"`    // debug, info, warn or error
	NightAt     string   `yaml:"night_at"`     // HH:MM in the shop's zone, when nightly jobs run
	BackupDir   string   `yaml:"backup_dir"`   // where nightly backups go; empty: none
	KeepBackups int      `yaml:"keep_backups"` // how many of them are kept
	Mail        Mail     `yaml:"mail"`         // the night's short list by e-mail
	Webhook     Webhook  `yaml:"webhook"`      // and to a webhook
	Units       Units    `yaml:"units"`        // in which pages show quantities and take them
	Books       Books    `yaml:"books"`        // how the books are written

	TrustedProxies []string `yaml:"trusted_proxies"` // addresses or networks whose X-Forwarded-For is believed
}

// Units names the units of the pages.
type Units struct {
	Length  string `yaml:"length"`  // inch or mm
	Mass    string `yaml:"mass"`    // g or lb
	Tension string `yaml:"tension"` // N, lbf or kgf
}

// Books says what the books need to know beyond the shop's facts.
type Books struct {
	Accounts Accounts `yaml:"accounts"`
}

// Accounts are the codes of the shop's own chart of accounts that journal lines are posted to.
type Accounts struct {
	Wire            string `yaml:"wire"`
	NotInvoiced     string `yaml:"not_invoiced"`
	Winding         string `yaml:"winding"`
	Finished        string `yaml:"finished"`
	Wages           string `yaml:"wages"`
	Scrap           string `yaml:"scrap"`
	AbnormalScrap   string `yaml:"abnormal_scrap"`
	UsageVariance   string `yaml:"usage_variance"`
	Difference      string `yaml:"difference"`
	Revaluation     string `yaml:"revaluation"`
	PriceDifference string `yaml:"price_difference"`
}

// Mail says how the night's short list is sent by e-mail.
type Mail struct {
	To         string `yaml:"to"` // addresses with commas between; empty: no mail
	From       string `yaml:"from"`
	Host       string `yaml:"host"`
	Port       int    `yaml:"port"`
	Encryption string `yaml:"encryption"` // starttls, tls or none
	User       string `yaml:"user"`       // empty: without signing in
	Password   Secret `yaml:"password"`
}

// Webhook says where the night is posted as JSON.
type Webhook struct {
	URL   string `yaml:"url"` // empty: nowhere
	Token Secret `yaml:"token"`
}

// Secret is a text that no log and no message shows.
type Secret string

// String hides it.
func (s Secret) String() string {
	if s == "" {
		return ""
	}
	return "(secret)"
}

// GoString hides it too.
func (s Secret) GoString() string { return s.String() }

// LogValue hides it in logs.
func (s Secret) LogValue() slog.Value { return slog.StringValue(s.String()) }

// The environment's names for what should not stand in a file; they go before it.
const (
	DatabaseVariable     = "WINDINGROOM_DATABASE"
	MailPasswordVariable = "WINDINGROOM_MAIL_PASSWORD"
	WebhookTokenVariable = "WINDINGROOM_WEBHOOK_TOKEN"
)

// Default gives the configuration of an installation that sets nothing: an embedded database beside the program, pages for
// this machine only, a week from Monday to Friday.
func Default() Config {
	return Config{
		Database:       "sqlite:windingroom.db",
		Addr:           "127.0.0.1:8080",
		Shop:           "Winding room",
		TimeZone:       "Local",
		WorkingDays:    []string{"monday", "tuesday", "wednesday", "thursday", "friday"},
		DayBegins:      "07:00",
		LogLevel:       "info",
		NightAt:        "03:30",
		TrustedProxies: []string{},
		KeepBackups:    14,
		Mail:           Mail{From: "windingroom@localhost", Host: "localhost", Port: 587, Encryption: "starttls"},
		Units:          Units{Length: "inch", Mass: "g", Tension: "N"},
		Books: Books{Accounts: Accounts{Wire: "1310", NotInvoiced: "2310", Winding: "1320", Finished: "1330", Wages: "5210", Scrap: "5310",
			AbnormalScrap: "5320", UsageVariance: "5325", Difference: "5330", Revaluation: "5340", PriceDifference: "5350"}},
	}
}

// Load reads the file at path, or no file where path is empty, and then the environment through getenv (os.Getenv). It fails
// where the file cannot be read, has a key that does not exist, or Validate finds fault.
func Load(path string, getenv func(string) string) (Config, error) {
	var text []byte
	if path != "" {
		var err error
		if text, err = os.ReadFile(path); err != nil {
			return Config{}, fmt.Errorf("configuration: %w", err)
		}
	}
	c, err := parse(text)
	if err != nil {
		return Config{}, fmt.Errorf("configuration %s: %w", path, err)
	}
	if database := getenv(DatabaseVariable); database != "" {
		c.Database = database
	}
	if password := getenv(MailPasswordVariable); password != "" {
		c.Mail.Password = Secret(password)
	}
	if token := getenv(WebhookTokenVariable); token != "" {
		c.Webhook.Token = Secret(token)
	}
	return c, c.Validate()
}

// parse reads one YAML document over the defaults. A key that is left out keeps its default; so does one with nothing after
// the colon.
func parse(text []byte) (Config, error) {
	c := Default()
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	decoder.KnownFields(true)
	if err := decoder.Decode(&c); err != nil && !errors.Is(err, io.EOF) {
		return Config{}, err
	}
	if err := decoder.Decode(new(any)); !errors.Is(err, io.EOF) {
		return Config{}, errors.New("more than one document in the file")
	}
	return c, nil
}
