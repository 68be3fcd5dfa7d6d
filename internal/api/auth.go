package api

import (
	"strings"

	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/workshop"
)

// open lists the addresses that need no token.
var open = map[string]bool{Root + estimatePath: true}

// identify puts the person whom the bearer token stands for into the request, and refuses a request without one.
func (s *server) identify(c *gin.Context) {
	header := c.GetHeader("Authorization")
	if header == "" && open[c.FullPath()] {
		c.Next()
		return
	}
	scheme, token, _ := strings.Cut(header, " ")
	if !strings.EqualFold(scheme, "Bearer") {
		httpd.WriteProblem(c, workshop.ErrUnknownPerson)
		return
	}
	person, err := s.shop.Bearer(c.Request.Context(), strings.TrimSpace(token))
	if err != nil {
		httpd.WriteProblem(c, err)
		return
	}
	c.Request = c.Request.WithContext(workshop.WithPerson(c.Request.Context(), person))
	c.Next()
}
