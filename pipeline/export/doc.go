// Package export writes results of whole folders as tidy tables: CSV files with
// one observation a row and one variable a column, the same names and SI units as
// in the reports, and a dictionary that explains every column and every name.
//
// Numbers are written as the reports have them, to the last digit. What was not
// measured is an empty cell with its status and reason beside it, never zero.
// Rows of different tables belong together by results, the folder that they come
// from, and stroke.
package export
