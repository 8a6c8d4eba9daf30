# Mixed model of the comparison by management in the sample book five-years, and such places.
#
# Reads ../sample-books/five-years-model.csv (made by mixed_comparison_rows.py), writes
# ../sample-books/five-years-mixed.json. Needs lme4 and pbkrtest (made with R 4.2.2, lme4 1.1-31, pbkrtest 0.5.2).
#
# Fixed: season, sex, dam-age class, twin, foster, birth date, kind. Random: cow; sire in equal shares. lme4 has
# no term for shares: the rows of its Zt that belong to sire are replaced by the shares before the fit. Sum-to-zero
# coding of the held factors and centred covariates make the intercept a mean with equal margins.
#
# Run: Rscript mixed_comparison.R

suppressMessages({library(lme4); library(pbkrtest); library(Matrix)})
data <- read.csv("../sample-books/five-years-model.csv", stringsAsFactors = FALSE)
for (name in c("season", "sex", "class")) {
  data[[name]] <- factor(data[[name]])
  contrasts(data[[name]]) <- contr.sum(nlevels(data[[name]]))
}
for (name in c("twin", "foster", "day")) data[[name]] <- data[[name]] - mean(data[[name]])
data$kind <- factor(data$kind)
data$cow <- factor(data$cow)

fit_with <- function(data, shares) {
  lists <- strsplit(data$sires, ";")
  names <- sort(unique(unlist(lists)))
  # A factor with the right number of levels, to be replaced.
  data$sire <- factor(rep(names, length.out = nrow(data)), levels = names)
  parts <- lFormula(y ~ season + sex + class + twin + foster + day + kind + (1 | cow) + (1 | sire), data, REML = TRUE)
  of <- Matrix(0, length(names), nrow(data), sparse = TRUE, dimnames = list(names, NULL))
  for (row in seq_along(lists)) for (one in lists[[row]]) of[one, row] <- of[one, row] + 1 / length(lists[[row]])
  place <- which(names(parts$reTrms$cnms) == "sire")
  start <- parts$reTrms$Gp[place] + 1
  stopifnot(parts$reTrms$Gp[place + 1] - start + 1 == length(names))
  parts$reTrms$Zt[start:parts$reTrms$Gp[place + 1], ] <- of
  deviance <- do.call(mkLmerDevfun, parts)
  best <- optimizeLmer(deviance, optimizer = "bobyqa", control = list(rhoend = 1e-10))
  mkMerMod(environment(deviance), best, parts$reTrms, parts$fr)
}

fit <- fit_with(data)
spreads <- as.data.frame(VarCorr(fit))
sd_of <- function(group) spreads$sdcor[spreads$grp == group]
beta <- fixef(fit)
adjusted <- vcovAdj(fit)
plain <- vcov(fit)
about <- function(l) {
  names(l) <- names(beta)
  list(estimate = sum(l * beta), se = sqrt(as.numeric(t(l) %*% adjusted %*% l)),
       df = Lb_ddf(l, plain, adjusted))
}
unit <- function(name) as.numeric(names(beta) == name)
pens <- unit("(Intercept)")
pastures <- pens + unit("kindpasture")
f_test <- function(pattern) {
  rows <- grep(pattern, names(beta))
  L <- matrix(0, length(rows), length(beta)); L[cbind(seq_along(rows), rows)] <- 1
  test <- KRmodcomp(fit, L)$stats
  list(f = test$Fstat, df = test$ndf, denominator_df = test$ddf, p = test$p.value)
}

# Such places: least-squares means of the places, then the two-sample t test with one variance.
data$place <- factor(data$place)
places <- lm(y ~ season + sex + class + twin + foster + day + place, data)
level <- sapply(levels(data$place), function(p) {
  l <- setNames(rep(0, length(coef(places))), names(coef(places)))
  l["(Intercept)"] <- 1
  if (paste0("place", p) %in% names(l)) l[paste0("place", p)] <- 1
  sum(l * coef(places))
})
kind_of <- sapply(levels(data$place), function(p) as.character(data$kind[data$place == p][1]))
such <- t.test(level[kind_of == "bedded pen"], level[kind_of == "pasture"], var.equal = TRUE)

number <- function(x) format(x, digits = 15)
show <- function(found) paste0("{", paste0("\"", names(found), "\": ", sapply(found, number), collapse = ", "), "}")
lines <- c(
  "{",
  paste0("  \"made_with\": \"R ", getRversion(), ", lme4 ", packageVersion("lme4"), ", pbkrtest ", packageVersion("pbkrtest"), "\","),
  paste0("  \"calves\": ", nrow(data), ","),
  paste0("  \"cows\": ", nlevels(data$cow), ","),
  paste0("  \"sires\": ", length(unique(unlist(strsplit(data$sires, ";")))), ","),
  paste0("  \"sd\": ", show(list(cow = sd_of("cow"), sire = sd_of("sire"), residual = sigma(fit))), ","),
  paste0("  \"difference\": ", show(about(pens - pastures)), ","),
  paste0("  \"bedded pen\": ", show(about(pens)), ","),
  paste0("  \"pasture\": ", show(about(pastures)), ","),
  paste0("  \"sex\": ", show(f_test("^sex")), ","),
  paste0("  \"class\": ", show(f_test("^class")), ","),
  paste0("  \"day\": ", show(f_test("^day")), ","),
  paste0("  \"such_places\": ", show(list(estimate = unname(such$estimate[1] - such$estimate[2]), se = such$stderr,
    df = unname(such$parameter), lower = such$conf.int[1], upper = such$conf.int[2], p = such$p.value))),
  "}")
writeLines(lines, "../sample-books/five-years-mixed.json")
