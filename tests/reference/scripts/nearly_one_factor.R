# The largest of several correlated t values whose correlations are no products of one number for each.
#
# Writes ../nearly_one_factor_expected.json. Needs mvtnorm (made with R 4.2.2, mvtnorm 1.1-3): tails by Genz and
# Bretz's integration, to 1e-4. The correlations are those of differences of five to seven means with the last one,
# where the means' own errors are correlated a little, as in unbalanced data with random effects.
#
# Run: Rscript nearly_one_factor.R

library(mvtnorm)
set.seed(41)
rows <- list()
while (length(rows) < 12) {
  # Three correlations of three comparisons nearly always have the form: four comparisons and more.
  k <- 4 + length(rows) %% 3
  n <- k + 1
  shared <- matrix(rnorm(n * 3, sd = 0.35), n)
  errors <- diag(runif(n, 0.6, 2)) + shared %*% t(shared)
  against <- cbind(diag(k), -1)
  covariance <- against %*% errors %*% t(against)
  correlation <- round(cov2cor(covariance), 6)
  df <- c(7, 25, 120)[1 + length(rows) %% 3]
  t <- c(2.2, 2.6, 3.1)[1 + (length(rows) %/% 3) %% 3]
  # One that is of the form to a thousandth, or far from it, tries nothing.
  loadings <- sapply(1:k, function(j) {
    others <- setdiff(1:k, j); pairs <- combn(others, 2)
    sqrt(sum(abs(correlation[j, pairs[1, ]] * correlation[j, pairs[2, ]])) / sum(abs(correlation[t(pairs)])))
  })
  off <- max(abs((loadings %o% loadings - correlation)[upper.tri(correlation)]))
  if (any(correlation < 0) || off < 0.005 || off > 0.095) next
  inside <- pmvt(lower = rep(-t, k), upper = rep(t, k), df = df, corr = correlation,
                 algorithm = GenzBretz(maxpts = 2e5, abseps = 1e-4, releps = 0))
  rows[[length(rows) + 1]] <- sprintf(
    '  {"comparisons": %d, "df": %d, "t": %.1f, "tail": %.7f, "correlation": [%s]}',
    k, df, t, 1 - inside, paste(format(t(correlation), digits = 7, trim = TRUE), collapse = ", "))
}
writeLines(c("{", sprintf(' "made_with": "R %s, mvtnorm %s, scripts/nearly_one_factor.R",', getRversion(), packageVersion("mvtnorm")),
  ' "largest_tail": [', paste(rows, collapse = ",\n"), " ]", "}"), "../nearly_one_factor_expected.json")
