// Package sitetest makes finished lessons as a night leaves them, small and
// quickly, for the tests of pages and shelves. Numbers are invented, films are a
// header without pictures unless given.
package sitetest
