package config

import (
	"errors"
	"fmt"
	"net/mail"
	"net/url"
	"slices"
	"time"
)

// Night gives the time of day at which nightly jobs run.
func (c Config) Night() (hour, minute int, err error) {
	t, err := time.Parse("15:04", c.NightAt)
	if err != nil {
		return 0, 0, fmt.Errorf("night_at: %q is not a time of day such as 03:30", c.NightAt)
	}
	if t.Hour() == 2 {
		return 0, 0, fmt.Errorf("night_at: %s lies between 02:00 and 03:00, an hour that some nights do not have; take one outside it", c.NightAt)
	}
	return t.Hour(), t.Minute(), nil
}

func (c Config) checkBackups() error {
	if c.KeepBackups < 1 {
		return fmt.Errorf("keep_backups: %d must be at least 1; leave backup_dir empty for none", c.KeepBackups)
	}
	return nil
}

// Recipients gives the addresses of the mail; none where it is not to be sent.
func (m Mail) Recipients() ([]string, error) {
	if m.To == "" {
		return nil, nil
	}
	list, err := mail.ParseAddressList(m.To)
	if err != nil {
		return nil, fmt.Errorf("mail: to: %q is not addresses with commas between", m.To)
	}
	to := make([]string, len(list))
	for i, a := range list {
		to[i] = a.Address
	}
	return to, nil
}

// checkMail looks at the rest only where there is somebody to send to.
func (c Config) checkMail() error {
	m := c.Mail
	to, err := m.Recipients()
	if err != nil || len(to) == 0 {
		return err
	}
	var faults []error
	if _, err := mail.ParseAddress(m.From); err != nil {
		faults = append(faults, fmt.Errorf("mail: from: %q is not an address", m.From))
	}
	if m.Host == "" {
		faults = append(faults, errors.New("mail: host: empty; it is the mail server"))
	}
	if m.Port < 1 || m.Port > 65535 {
		faults = append(faults, fmt.Errorf("mail: port: %d is not a port such as 587", m.Port))
	}
	if !slices.Contains([]string{"starttls", "tls", "none"}, m.Encryption) {
		faults = append(faults, fmt.Errorf("mail: encryption: %q is not one of starttls, tls, none", m.Encryption))
	}
	if m.Encryption == "none" && m.User != "" {
		faults = append(faults, errors.New("mail: encryption: none would send the password in the clear; take starttls or tls"))
	}
	return errors.Join(faults...)
}

// checkWebhook repeats no address, which may hold a secret.
func (c Config) checkWebhook() error {
	if c.Webhook.URL == "" {
		return nil
	}
	u, err := url.Parse(c.Webhook.URL)
	if err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" {
		return errors.New("webhook: url: not an https:// address")
	}
	return nil
}
