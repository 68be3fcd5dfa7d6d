// Package notify carries the night's short list out of the shop: by e-mail and to a webhook. Errors name no password, no token, and of a
// webhook's address only the host. One that wraps workshop.ErrUnsure says that the message may have arrived.
package notify

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/wneessen/go-mail"

	"windingroom/internal/workshop"
)

// Mail is how to send e-mail.
type Mail struct {
	Host       string
	Port       int
	User       string // empty: without signing in
	Password   string
	Encryption string // starttls, tls or none
	From       string
	To         []string
}

// patience bounds each conversation.
const patience = 30 * time.Second

// Send sends one plain message to everyone in To.
func (m Mail) Send(ctx context.Context, subject, text string) error {
	msg := mail.NewMsg()
	if err := errors.Join(msg.From(m.From), msg.To(m.To...)); err != nil {
		return fmt.Errorf("mail: %w", err)
	}
	msg.Subject(subject)
	msg.SetBodyString(mail.TypeTextPlain, text)
	client, err := m.client()
	if err != nil {
		return fmt.Errorf("mail: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if err := client.DialWithContext(ctx); err != nil {
		return fmt.Errorf("mail: no connection to %s: %w", m.Host, err)
	}
	err = client.Send(msg)
	_ = client.Close() // what was accepted stays accepted
	return sure(err)
}

func (m Mail) client() (*mail.Client, error) {
	// RSET after a message would turn one that was accepted into a failure.
	options := []mail.Option{mail.WithTimeout(patience), mail.WithoutRset()}
	switch m.Encryption {
	case "tls":
		options = append(options, mail.WithSSL())
	case "none":
		options = append(options, mail.WithTLSPolicy(mail.NoTLS))
	default:
		options = append(options, mail.WithTLSPolicy(mail.TLSMandatory))
	}
	if m.User != "" {
		options = append(options, mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover), mail.WithUsername(m.User), mail.WithPassword(m.Password))
	}
	return mail.NewClient(m.Host, append(options, mail.WithPort(m.Port))...)
}

// sure tells a message that the server did not take from one of which it never said so: the connection broke after its last byte.
func sure(err error) error {
	if err == nil {
		return nil
	}
	var failed *mail.SendError
	if errors.As(err, &failed) && failed.Reason == mail.ErrSMTPDataClose && failed.ErrorCode() == 0 {
		return fmt.Errorf("mail: %w: %w", err, workshop.ErrUnsure)
	}
	return fmt.Errorf("mail: %w", err)
}
