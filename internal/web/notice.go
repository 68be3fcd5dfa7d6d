package web

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/web/page"
)

// A sentence for the next page travels in a cookie, so that to say it writes nothing to the database. It is signed with the session's
// token: one that somebody planted, or that is another person's, is not shown.
const (
	noticeCookie  = "windingroom-notice"
	noticeLasts   = time.Minute
	longestNotice = 1500 // bytes; a cookie holds some 4000
)

const (
	noticeKey    = "notice to leave"
	noticeGivenK = "notice taken"
)

// Say leaves a sentence for the next page.
func (s *server) Say(c *gin.Context, n page.Notice) { c.Set(noticeKey, n) }

// Said takes the sentence that was left.
func (s *server) Said(c *gin.Context) *page.Notice {
	text, err := c.Cookie(noticeCookie)
	if err != nil || text == "" {
		return nil
	}
	c.Set(noticeGivenK, true)
	body, mac, _ := strings.Cut(text, ".")
	signature, err := base64.RawURLEncoding.DecodeString(mac)
	token := s.Token(c)
	if err != nil || token == "" || !hmac.Equal(signature, sign(token, body)) {
		return nil
	}
	plain, err := base64.RawURLEncoding.DecodeString(body)
	if err != nil {
		return nil
	}
	var n page.Notice
	if json.Unmarshal(plain, &n) != nil {
		return nil
	}
	return &n
}

func (s *server) commitNotice(c *gin.Context) error {
	n, left := c.Get(noticeKey)
	if !left || s.Token(c) == "" {
		if c.GetBool(noticeGivenK) || c.GetBool(endedKey) {
			http.SetCookie(c.Writer, cookie(c.Request, noticeCookie, "", 0))
		}
		return nil
	}
	notice := n.(page.Notice) // Say alone sets it
	if len(notice.Text) > longestNotice {
		notice.Text = strings.ToValidUTF8(notice.Text[:longestNotice], "") + "…"
	}
	plain, err := json.Marshal(notice)
	if err != nil {
		return err
	}
	body := base64.RawURLEncoding.EncodeToString(plain)
	value := body + "." + base64.RawURLEncoding.EncodeToString(sign(s.Token(c), body))
	http.SetCookie(c.Writer, cookie(c.Request, noticeCookie, value, noticeLasts))
	return nil
}

// sign signs a notice with a key made of the session's token.
func sign(token, body string) []byte {
	mac := hmac.New(sha256.New, []byte("notice "+token))
	mac.Write([]byte(body))
	return mac.Sum(nil)
}
