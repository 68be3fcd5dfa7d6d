package web

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"windingroom/internal/problem"
)

// policy lets a page use its own scripts, style sheet, icon and forms and nothing else: no inline script or style, no frame, no
// other host.
const policy = "default-src 'none'; script-src 'self'; connect-src 'self'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Secure sets the headers of every page. Pages are not kept: they belong to whoever is signed in.
func Secure(c *gin.Context) {
	c.Header("Content-Security-Policy", policy)
	c.Header("X-Content-Type-Options", "nosniff")
	c.Header("X-Frame-Options", "DENY")
	c.Header("Referrer-Policy", "same-origin")
	c.Header("Cross-Origin-Opener-Policy", "same-origin")
	c.Header("Cross-Origin-Resource-Policy", "same-origin")
	c.Header("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	c.Header("Cache-Control", "no-store")
	if encrypted(c.Request) {
		c.Header("Strict-Transport-Security", "max-age=31536000")
	}
	c.Next()
}

// sameOrigin refuses a form that another site sent in a signed-in person's name.
func sameOrigin(fail func(*gin.Context, error)) gin.HandlerFunc {
	protection := http.NewCrossOriginProtection()
	return func(c *gin.Context) {
		if err := protection.Check(c.Request); err != nil {
			fail(c, problem.ErrCrossOrigin)
			return
		}
		c.Next()
	}
}
