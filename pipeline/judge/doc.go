// Package judge says which of two runs is nearer to what really happened, on
// which clips, and whether the difference is more than noise.
//
// # The idea
//
// What is known of a clip, the exact truth of a rendered one or what a person
// marked, is compared with its report: an error for each position, event and
// measure. An error counts in units of its limit, those that the product is held
// to (package bench), at most five of them, since far off is as useless as very
// far off. A value that is not given counts as an error of two limits: worse than a
// good one and better than a wrong one, as a number is right or it is absent. The
// cost of a clip is the mean of all that. Limits, the five and the two are our
// judgement.
//
// Two runs are compared clip by clip, in pairs: the mean of the differences with
// its 95 % interval (Student, 1908, Biometrika 6, 1-25). Of many lines in one
// table some would stand out by chance; their levels are corrected for that (S.
// Holm, 1979, Scandinavian Journal of Statistics 6, 65-70). What does not stand
// out is called no more than noise.
//
// # What it refuses
//
// Without truth or labels nothing is called better or worse: only what changed.
package judge
