//go:build !race

package plan

// fraction is the part of the long tests that runs: all.
const fraction = 1
