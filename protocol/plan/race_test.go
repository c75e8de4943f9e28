//go:build race

package plan

// fraction is the part of the long tests that runs under the race detector, which makes everything some ten times slower.
const fraction = 10
