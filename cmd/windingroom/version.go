package main

import (
	"runtime/debug"

	"windingroom/internal/httpd"
)

// buildInfo says what was built, as far as the build knows.
func buildInfo() httpd.Build {
	b := httpd.Build{Version: "unknown", Commit: "unknown"}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.Version = info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			b.Commit = s.Value
		}
	}
	return b
}
