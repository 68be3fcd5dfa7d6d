package httpd

import (
	"encoding/json"
	"fmt"
	"net/http"
	"runtime/debug"

	"github.com/gin-gonic/gin"

	"windingroom/internal/problem"
)

// ProblemType is the media type of RFC 9457.
const ProblemType = "application/problem+json"

// Problem notes an error for the log and gives what may be said about it, with the request's number.
func Problem(c *gin.Context, err error) problem.Problem {
	_ = c.Error(err)
	p := problem.From(err)
	p.RequestID = RequestID(c)
	return p
}

// WriteProblem answers an error as a problem document and ends the request.
func WriteProblem(c *gin.Context, err error) {
	p := Problem(c, err)
	body, err := json.Marshal(p)
	if err != nil {
		_ = c.Error(err)
	}
	if p.Status == http.StatusUnauthorized {
		c.Header("WWW-Authenticate", `Bearer realm="windingroom"`)
	}
	c.Header("Cache-Control", "no-store")
	c.Data(p.Status, ProblemType, append(body, '\n'))
	c.Abort()
}

// Recover answers a panic below it as an error that says nothing outside; its value and stack go to the log.
func Recover(answer func(*gin.Context, error)) gin.HandlerFunc {
	return func(c *gin.Context) {
		defer func() {
			r := recover()
			switch {
			case r == nil:
			case r == http.ErrAbortHandler:
				panic(r)
			case c.Writer.Written(): // too late to answer anything else
				_ = c.Error(panicked{r, debug.Stack()})
				c.Abort()
			default:
				answer(c, panicked{r, debug.Stack()})
				c.Abort()
			}
		}()
		c.Next()
	}
}

// panicked is a panic as an error.
type panicked struct {
	value any
	stack []byte
}

func (p panicked) Error() string { return fmt.Sprintf("panic: %v", p.value) }
