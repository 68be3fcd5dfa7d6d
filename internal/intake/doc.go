// Package intake reads a folder of import files (CSV) into the facts of the shop, all of them or nothing, and reports every
// row that is wrong with its file, line and column.
//
// It works in two steps. Read takes the text apart into typed rows. Folder.Facts then resolves what the rows refer to
// against what the shop already has and decides what is new; it is meant to run inside the transaction that writes the
// facts, so that nothing changes in between. Facts never alters its Folder and may be repeated.
//
// Codes and column names are compared without case. A code is written as the shop, or the first row that named it, spells
// it. White space around a field is dropped; a row whose fields are all empty is skipped.
package intake
