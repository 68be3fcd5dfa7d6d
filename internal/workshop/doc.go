// Package workshop is what people do with Winding Room: one method of Shop for one thing a person does. Each checks who may
// do it, runs in one transaction, asks the pure trade packages for every decision, records who did it, and answers with a
// value that a page, the API, a command and a workbook can all show.
package workshop
