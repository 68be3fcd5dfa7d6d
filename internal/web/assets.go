package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"strings"

	"github.com/gin-gonic/gin"
)

//go:embed static/*
var staticFiles embed.FS

const assetRoot = "/static/"

// Assets are addressed by their content, so a browser may keep one for ever and still never shows an old one.
var (
	assets       = map[string]file{}
	styleAddress = addAsset("app.css", "text/css; charset=utf-8")
	iconAddress  = addAsset("icon.svg", "image/svg+xml")
)

type file struct {
	media string
	body  []byte
}

func addAsset(name, media string) string {
	body, err := staticFiles.ReadFile("static/" + name)
	if err != nil {
		panic(err) // embedded: it is there or the program does not build
	}
	sum := sha256.Sum256(body)
	ext := path.Ext(name)
	address := assetRoot + strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:8]) + ext
	assets[address] = file{media, body}
	return address
}

func asset(c *gin.Context) {
	a, ok := assets[c.Request.URL.Path]
	if !ok {
		c.String(http.StatusNotFound, "There is no such file.\n")
		return
	}
	c.Header("Cache-Control", "public, max-age=31536000, immutable")
	c.Data(http.StatusOK, a.media, a.body)
}
