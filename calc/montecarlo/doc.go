// Package montecarlo propagates distributions by sampling (JCGM 101:2008): the cross-check of the chain rule.
//
// A source of uncertainty is drawn once for each trial, as its Shape and degrees of freedom say, so a model that asks
// for it twice meets the same error twice. Trials come in blocks, each with a stream of random numbers of its own, so a
// seed gives the same figures to the last bit on one core or on many.
//
// Draw returns deviates in units of the source's standard uncertainty: an input's value in a trial is its estimate plus
// effect times deviate. A normal source with finite degrees of freedom is drawn from Student's t, scaled by its standard
// uncertainty as JCGM 101:2008, 6.4.9 has it, so its trials spread wider than that: by sqrt(ν/(ν−2)), and without bound
// for two or fewer degrees of freedom. Limits of a rectangle or a triangle are taken as exact.
package montecarlo
