package workshop

import "time"

// PeopleReader is what the shop knows of who may come in: people, their sessions, tries to sign in, tokens, and of what they did.
// People are matched by Member.Key.
type PeopleReader interface {
	Member(key string) (Member, error)
	Members() ([]Member, error) // by key
	Session(hash []byte) (Session, error)
	SessionsOf(key string) ([]Session, error) // the newest first
	Tries(subject []byte) (Tries, error)
	// Token finds a bearer token by its hash; revoked ones are not found.
	Token(hash []byte) (Token, error)
	Tokens() ([]Token, error) // by name, revoked ones too
	// Audit gives entries, the newest first.
	Audit(AuditFilter) ([]AuditEntry, error)
}

// PeopleTx writes it.
type PeopleTx interface {
	AddMember(Member) error  // ErrExists when the name is taken
	SaveMember(Member) error // sets role, password and whether they are off
	AddSession(Session) error
	SeeSession(hash []byte, at time.Time) error
	EndSession(hash []byte) error
	EndSessionsOf(key string) (int, error)
	SaveTries(Tries) error
	ForgetTries(subject []byte) error
	AddToken(Token) error // ErrExists when the name is taken
	UseToken(name string, at time.Time) error
	RevokeToken(name string, at time.Time) error // ErrNotFound where none of that name is in use
	// DropSessions forgets sessions that ended or were last seen before these times, DropTries those that are forgotten by then.
	DropSessions(ended, seen time.Time) (int, error)
	DropTries(by time.Time) (int, error)
}

// Member is a person of the shop who can sign in.
type Member struct {
	Key      string // MemberKey of the name
	Name     string
	Role     Role
	Password string // its argon2id hash
	AddedAt  time.Time
	OffAt    time.Time // since when they may not sign in; zero while they may
}

// Off says that the person may not sign in.
func (m Member) Off() bool { return !m.OffAt.IsZero() }

// Session is one sign-in on one browser.
type Session struct {
	Hash    []byte // of the token that the browser holds
	Person  string // Member.Key
	BeganAt time.Time
	SeenAt  time.Time
	EndsAt  time.Time // at the latest
	Address string    // from where
}

// Tries are the failed tries to sign in about one subject: a name, or an address.
type Tries struct {
	Subject     []byte
	LastAt      time.Time
	ForgottenAt time.Time // when the last of the failures is, one after the other
}

// Token is a bearer token as it is kept: its hash, never itself.
type Token struct {
	Name      string
	Hash      []byte
	Role      Role
	CreatedAt time.Time
	UsedAt    time.Time // last, to a few minutes; zero while it never was
	RevokedAt time.Time // zero while it holds
}

// AuditFilter narrows the audit; the zero value is all of it.
type AuditFilter struct {
	Person  string    // whole, without case as far as English letters go
	Subject string    // whole, without case as far as English letters go
	From    time.Time // zero: from the first
	Until   time.Time // before it; zero: to the last
	Before  int64     // entries older than this one; 0: from the newest
	Most    int
}
