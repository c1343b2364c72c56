// Package wear reckons what one coldworking step does to one face of glass:
// how much comes off, how deep the damage it leaves goes, how rough the face
// is, what can be seen of a lamp in it, and how many minutes the step needs to
// clear what the step before it left.
//
// It is physics and nothing else: it knows no recipe, no shop and no words an
// author may write. Every step makes damage as deep as its coarsest working
// grain makes it and takes glass off at a Preston rate; the damage left is the
// deeper of what was there less what came off and of what the step itself
// makes; the roughness seen is a fixed share of that depth. Damage is carried
// as a low, an expected and a high value through every step.
//
// All sizes and depths are in µm, times in minutes, forces in N, areas in m²
// and speeds in m/s, as every name says. The constants are in constants.csv,
// each with its standing and its source.
//
// The expected depth is good to a factor of one and a half to two, the
// coarsest grits cut faster than reckoned, damage of 7 µm grain and finer is
// more than reckoned, and polishing by hand takes three to six times the
// minutes. What is printed from this package should carry two figures and its
// range.
package wear
