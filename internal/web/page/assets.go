package page

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"github.com/gin-gonic/gin"
)

//go:embed static
var staticFiles embed.FS

// AssetRoot is the folder of the addresses of assets.
const AssetRoot = "/static/"

// Assets are addressed by their content, so a browser may keep one for ever and still never shows an old one.
var (
	assets       = map[string]file{}
	styleAddress = keep("app.css", "text/css; charset=utf-8", styleSheet())
	iconAddress  = Asset(staticFiles, "static/icon.svg", "image/svg+xml")
	htmxAddress  = Asset(staticFiles, "static/htmx.min.js", "text/javascript; charset=utf-8")

	// ProposedScript is the address of the script of fields with a proposal, for a page's Scripts.
	ProposedScript = Asset(staticFiles, "static/proposed.js", "text/javascript; charset=utf-8")
)

type file struct {
	media string
	body  []byte
}

// Asset takes an embedded file among what the pages serve and gives its address. Only variables of a package call it; a file that
// is not there panics.
func Asset(files fs.FS, name, media string) string {
	body, err := fs.ReadFile(files, name)
	if err != nil {
		panic(err) // embedded: it is there or the program does not start
	}
	return keep(path.Base(name), media, body)
}

// styleSheet is one sheet of the parts' style and that of each place.
func styleSheet() []byte {
	names, err := fs.Glob(staticFiles, "static/places/*.css")
	if err != nil {
		panic(err) // the pattern is constant
	}
	var sheet []byte
	for _, name := range append([]string{"static/app.css"}, names...) {
		body, err := fs.ReadFile(staticFiles, name)
		if err != nil {
			panic(err) // embedded, and listed a moment ago
		}
		sheet = append(sheet, body...)
	}
	return sheet
}

func keep(name, media string, body []byte) string {
	sum := sha256.Sum256(body)
	ext := path.Ext(name)
	address := AssetRoot + strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:8]) + ext
	assets[address] = file{media, body}
	return address
}

// ServeAsset answers the addresses below AssetRoot.
func ServeAsset(c *gin.Context) {
	a, ok := assets[c.Request.URL.Path]
	if !ok {
		c.String(http.StatusNotFound, "There is no such file.\n")
		return
	}
	c.Header("Cache-Control", "public, max-age=31536000, immutable")
	c.Data(http.StatusOK, a.media, a.body)
}
