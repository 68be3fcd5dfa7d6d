// Package estimate answers one question about one string: what wire does it take, and what happens at pitch? It puts
// material, winding and stringdesign together behind the JSON that the command line and the HTTP interface share.
package estimate
