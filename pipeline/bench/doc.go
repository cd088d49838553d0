// Package bench scores the product on clips whose truth is known: how far off
// positions, events and measures are, whether their intervals hold the truth,
// and whether it refuses where there is nothing to measure.
//
// Errors are the product's value less the truth: positions in px, times in s,
// lengths and speeds as a share of the truth. The product is told nothing of
// the truth.
package bench
