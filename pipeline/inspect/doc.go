// Package inspect shows how a clip was read, for people who tune the reading or
// doubt it.
//
// # What it leaves
//
// A film of every frame in which everything the finders looked at is drawn, taken
// or not, with the reason; every look as a row of a table, so that a threshold can
// be chosen by looking; and charts of each stroke: position, speed and acceleration
// over time, the path in the plane, and the signs of impact.
//
// It reads a clip twice: once measuring as always, with a listener, and once for
// the film. Nothing it shows is found in another way than a report's numbers are.
//
// # Units
//
// Pixels of the upright picture in table and film; centimetres, seconds, m/s and
// m/s^2 in charts, from the place at address.
package inspect
