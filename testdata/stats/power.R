# Writes power.csv: Rscript power.R > power.csv
# delta of groups 2: power.t.test(n, sd, sig.level = 0.05, power = 0.8), two-sample, two-sided; of more groups: the largest
# difference of two means, the others half way between them, that power.anova.test finds at that level with that power.
# welch: what Welch's test finds, whose degrees of freedom follow from the two deviations; integrated over their shares.
# pairs: delta of power.t.test(n, sd = sqrt(2) * sd, sig.level = 0.05, power = 0.8, type = "paired"): pairs differ by sqrt(2) * sd.
# needed: n of power.t.test(delta = delta, sd = sd, sig.level = 0.05, power = 0.8), not rounded.
cat("#", R.version.string, "; Rscript power.R > power.csv\n")
cat("what,groups,n,sd,delta\n")
show <- function(what, groups, n, sd, delta) cat(sprintf("%s,%d,%.7g,%g,%.7g\n", what, groups, n, sd, delta))
for (sd in c(1, 1.5)) for (n in 2:20)
  show("delta", 2, n, sd, power.t.test(n = n, sd = sd, sig.level = 0.05, power = 0.8, tol = 1e-10)$delta)
for (groups in c(3, 4, 6)) for (n in c(2, 3, 4, 8, 20)) {
  power <- function(d) power.anova.test(groups = groups, n = n, between.var = d^2 / 2 / (groups - 1), within.var = 1)$power
  show("delta", groups, n, 1, uniroot(function(d) power(d) - 0.8, c(0.1, 50), tol = 1e-10)$root)
}
for (delta in c(0.1, 0.25, 0.5, 0.8, 1, 1.25, 1.5, 2, 2.5, 3, 4))
  show("needed", 2, power.t.test(delta = delta, sd = 1, sig.level = 0.05, power = 0.8, tol = 1e-10)$n, 1, delta)
welch <- function(d, n) integrate(function(r) dbeta(r, (n - 1) / 2, (n - 1) / 2) *
  pt(qt(0.975, (n - 1) / (r^2 + (1 - r)^2)), 2 * n - 2, ncp = d * sqrt(n / 2), lower.tail = FALSE), 0, 1, rel.tol = 1e-9)$value
for (n in c(3, 4, 5, 6, 8, 10, 20, 40))
  show("welch", 2, n, 1, uniroot(function(d) welch(d, n) - 0.8, c(0.1, 50), tol = 1e-10)$root)
for (n in c(3, 4, 6, 10, 20))
  show("pairs", 2, n, 1, power.t.test(n = n, sd = sqrt(2), sig.level = 0.05, power = 0.8, type = "paired", tol = 1e-10)$delta)
