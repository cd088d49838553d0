// Package lesson holds what the product keeps about a lesson: the report of
// each clip and how result files are written.
//
// Files are contracts: report.json carries a schema name with a version, and a
// JSON Schema of it ships with the product (report.schema.json). A number that
// could not be measured is null with a reason, never zero.
//
// Results appear complete or not at all: they are written to a temporary file
// in the same folder and renamed.
package lesson
