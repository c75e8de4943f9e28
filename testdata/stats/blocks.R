# Writes blocks_worked.csv: Rscript blocks.R > blocks_worked.csv
# The last line of anova(lm(value ~ oil)) and of anova(lm(value ~ run + oil)), the difference of two oils with its standard error
# and p, and the effects of summary(lm(value ~ ratio * hold)), with and without the run, from the low level to the high one.
cat("#", R.version.string, "; Rscript blocks.R > blocks_worked.csv\n")
d <- read.csv("blocks.csv", comment.char = "#")
d$run <- factor(d$run)
cat("set,blocked,what,value,u,f,dof,error_dof,ss,error_ss,p\n")
row <- function(...) cat(paste(..., sep = ","), "\n", sep = "")
g <- function(x) formatC(x, digits = 12, format = "g", flag = "#", width = 1)
for (set in c("days", "lost", "uneven")) {
  one <- droplevels(d[d$set == set, ])
  one$oil <- factor(one$oil, levels = unique(one$oil))
  for (blocked in c(FALSE, TRUE)) {
    m <- if (blocked) lm(value ~ run + oil, one) else lm(value ~ oil, one)
    a <- anova(m)
    row(set, blocked, "oil", "", "", g(a["oil", "F value"]), a["oil", "Df"], a["Residuals", "Df"], g(a["oil", "Sum Sq"]), g(a["Residuals", "Sum Sq"]),
        g(a["oil", "Pr(>F)"]))
    for (b in levels(one$oil)[-1]) {
      s <- summary(m)$coefficients[paste0("oil", b), ]
      row(set, blocked, b, g(-s[1]), g(s[2]), "", "", a["Residuals", "Df"], "", "", g(s[4]))
    }
  }
}
one <- droplevels(d[d$set == "plan", ])
one$a <- ifelse(one$ratio == 9, 1, -1)
one$b <- ifelse(one$hold == 60, 1, -1)
for (blocked in c(FALSE, TRUE)) {
  m <- if (blocked) lm(value ~ run + a * b, one) else lm(value ~ a * b, one)
  for (e in c("a", "b", "a:b")) {
    s <- summary(m)$coefficients[e, ]
    row("plan", blocked, e, g(2 * s[1]), g(2 * s[2]), "", "", m$df.residual, "", "", g(s[4]))
  }
}
