package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"sync"

	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

const (
	keyHeader    = "Idempotency-Key"
	replayHeader = "Idempotent-Replay"
)

var (
	visible = regexp.MustCompile(`^[!-~]{1,255}$`)
	errKey  = errors.New("must be 1 to 255 visible characters without spaces")
)

// once answers a write that is repeated under the same key with the answer it had. The answer is kept before it is sent, so
// whoever received it can have it again.
func (s *server) once(c *gin.Context) {
	key := c.GetHeader(keyHeader)
	person, known := workshop.Acting(c.Request.Context())
	if c.Request.Method != http.MethodPost || key == "" || !known || open[c.FullPath()] {
		c.Next()
		return
	}
	if !visible.MatchString(key) {
		httpd.WriteProblem(c, problem.At("header."+keyHeader, errKey))
		return
	}
	hash, err := hashRequest(c.Request)
	if err != nil {
		httpd.WriteProblem(c, err)
		return
	}
	if !s.busy.enter(person.Name, key) {
		httpd.WriteProblem(c, problem.ErrKeyBusy)
		return
	}
	defer s.busy.leave(person.Name, key)
	kept, err := s.shop.KeptAnswer(c.Request.Context(), key)
	switch {
	case errors.Is(err, workshop.ErrNotFound):
		s.answerAndKeep(c, key, hash)
	case err != nil:
		httpd.WriteProblem(c, err)
	case !bytes.Equal(kept.RequestHash, hash):
		httpd.WriteProblem(c, problem.ErrKeyReused)
	default:
		replay(c, kept)
	}
}

// hashRequest tells requests apart by method, address and body, and leaves the body to be read again.
func hashRequest(r *http.Request) ([]byte, error) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	h := sha256.New()
	fmt.Fprintf(h, "%s %s\n", r.Method, r.URL.RequestURI())
	h.Write(body)
	return h.Sum(nil), nil
}

func (s *server) answerAndKeep(c *gin.Context, key string, hash []byte) {
	out := &held{ResponseWriter: c.Writer}
	c.Writer = out
	c.Next()
	c.Writer = out.ResponseWriter
	if final(c.Writer.Status()) {
		// The work is done even if the one who asked has gone: the answer must be there when the request comes again.
		ctx := context.WithoutCancel(c.Request.Context())
		answer := workshop.KeptAnswer{Key: key, RequestHash: hash, Status: c.Writer.Status(), Body: out.body.Bytes()}
		if err := s.shop.KeepAnswer(ctx, answer); err != nil {
			_ = c.Error(err)
		}
	}
	_, _ = c.Writer.Write(out.body.Bytes())
}

// final says whether an answer is kept under its key. A refusal changed nothing, so its key stays free: for the same request
// when what it waits for has come, or for a corrected one.
func final(status int) bool { return status >= 200 && status < 300 }

func replay(c *gin.Context, kept workshop.KeptAnswer) {
	mediaType := "application/json"
	if kept.Status >= http.StatusBadRequest {
		mediaType = httpd.ProblemType
	}
	c.Header(replayHeader, "true")
	c.Data(kept.Status, mediaType, kept.Body)
	c.Abort()
}

// held holds an answer back.
type held struct {
	gin.ResponseWriter
	body bytes.Buffer
}

func (h *held) Write(b []byte) (int, error)       { return h.body.Write(b) }
func (h *held) WriteString(s string) (int, error) { return h.body.WriteString(s) }
func (h *held) WriteHeaderNow()                   {}
func (h *held) Written() bool                     { return h.body.Len() > 0 }

// inFlight holds the keys of requests that are being answered, so that an impatient repetition does not do the work twice.
type inFlight struct {
	mu   sync.Mutex
	keys map[[2]string]bool
}

func (f *inFlight) enter(person, key string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.keys[[2]string{person, key}] {
		return false
	}
	if f.keys == nil {
		f.keys = map[[2]string]bool{}
	}
	f.keys[[2]string{person, key}] = true
	return true
}

func (f *inFlight) leave(person, key string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	delete(f.keys, [2]string{person, key})
}
