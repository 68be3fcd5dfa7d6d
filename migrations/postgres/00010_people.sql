-- People sign in with a name and a password; the audit says through which door an act came and can be looked through.

-- +goose Up
CREATE TABLE people (
    key      CODE        PRIMARY KEY, -- the name without case
    name     TEXT        NOT NULL,
    role     TEXT        NOT NULL CHECK (role IN ('owner', 'lead', 'winder', 'bookkeeper')),
    password TEXT        NOT NULL, -- an argon2id hash
    added_at TIMESTAMPTZ NOT NULL,
    off_at   TIMESTAMPTZ -- since when they may not sign in
);

-- Who is signed in. The browser holds the token, of which only the hash is kept.
CREATE TABLE sessions (
    hash     BYTEA       PRIMARY KEY,
    person   CODE        NOT NULL REFERENCES people (key),
    began_at TIMESTAMPTZ NOT NULL,
    seen_at  TIMESTAMPTZ NOT NULL,
    ends_at  TIMESTAMPTZ NOT NULL,
    address  TEXT        NOT NULL -- from where
);
CREATE INDEX sessions_person ON sessions (person);

-- Tries to sign in that did not succeed, by the hash of the name that was tried and of the address it came from.
CREATE TABLE tries (
    subject      BYTEA       PRIMARY KEY,
    last_at      TIMESTAMPTZ NOT NULL,
    forgotten_at TIMESTAMPTZ NOT NULL -- when the last of them is, one after the other
);

ALTER TABLE tokens ADD COLUMN used_at TIMESTAMPTZ;

ALTER TABLE audit ADD COLUMN source TEXT NOT NULL DEFAULT '';
CREATE INDEX audit_at ON audit (at, id);
CREATE INDEX audit_person ON audit (lower(person), at, id);
CREATE INDEX audit_subject ON audit (lower(subject), at, id);
