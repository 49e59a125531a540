# The figures of a data file by R:  Rscript --vanilla tests/outside/reference.R FILE
#
# Lines "CASE FIGURE VALUE". R's own functions wherever there is one (var, acf, quantile, t.test, aov, lm, ptukey, qt,
# pbinom, ...), the package spc for run lengths and tolerance factors, lme4's REML for the parts of a gauge study. What R
# has no function for is left to exact.py.
suppressMessages({
  library(spc)
  library(lme4)
})

data_file <- commandArgs(trailingOnly = TRUE)[1]
case_name <- ""
say <- function(figure, value) {
  for (i in seq_along(value))
    cat(case_name, " ", figure[i], " ", if (is.na(value[i])) "-" else sprintf("%.17g", value[i]), "\n", sep = "")
}
under <- function(prefix, values) say(paste0(prefix, ".", names(values)), unlist(values))

# ---- what tables give: constants of ranges from R's distribution of the studentized range
d2 <- function(n) integrate(function(w) 1 - ptukey(w, n, Inf), 0, 20, rel.tol = 1e-11, subdivisions = 1000)$value
d3 <- function(n) {
  second <- integrate(function(w) 2 * w * (1 - ptukey(w, n, Inf)), 0, 20, rel.tol = 1e-11, subdivisions = 1000)$value
  sqrt(second - d2(n)^2)
}
c4 <- function(n) sqrt(2 / (n - 1)) * exp(lgamma(n / 2) - lgamma((n - 1) / 2))

# ---- one sample
say_values <- function(case) {
  x <- case$x[[1]]
  n <- length(x)
  say("mean", mean(x))
  say(paste0("quantile.", c(0, 10, 25, 50, 90, 95, 100)), quantile(x, c(0, .1, .25, .5, .9, .95, 1), type = 7))
  if (n < 2) return()
  say(c("variance", "sd"), c(var(x), sd(x)))
  if (var(x) == 0) return()
  say("lag1", acf(x, 1, plot = FALSE)$acf[2])
  # A t test refuses what is "essentially constant" beside its mean: bias is tested on the readings less the reference.
  test <- tryCatch(t.test(x - case$reference[[1]]), error = function(e) NULL)
  if (!is.null(test)) {
    say(c("type1.bias", "type1.t", "type1.p"), c(mean(x - case$reference[[1]]), test$statistic, test$p.value))
    say(c("bias_sd.lower", "bias_sd.upper"), test$conf.int)
  }
  say("individuals.sigma_within", mean(abs(diff(x))) * sqrt(pi) / 2)
  z <- as.numeric(stats::filter(0.2 * x, 0.8, method = "recursive", init = case$chart_target[[1]]))
  say("ewma.level", z[n])
  if (n < 8) return()
  z <- sort((x - mean(x)) / sd(x))
  say("anderson_darling.a2",
      -n - mean((2 * seq_len(n) - 1) * (pnorm(z, log.p = TRUE) + rev(pnorm(z, lower.tail = FALSE, log.p = TRUE)))))
  say_overall(case, x)
}

# Indices on the standard deviation of all values.
say_overall <- function(case, x) {
  n <- length(x)
  s <- sd(x)
  m <- mean(x)
  if (n < 8 || s == 0) return()
  low <- case$lower[[1]]
  high <- case$upper[[1]]
  cpk <- min((high - m) / (3 * s), (m - low) / (3 * s))
  half <- qnorm(0.975) * sqrt(1 / (9 * n) + cpk^2 / (2 * (n - 1)))
  under("overall.nearer", list(value = cpk, from = cpk - half, to = cpk + half))
  say("overall.ppm_total", 1e6 * (if (is.null(low)) 0 else pnorm(low, m, s)) +
      1e6 * (if (is.null(high)) 0 else pnorm(high, m, s, lower.tail = FALSE)))
  if (is.null(low) || is.null(high)) return()
  cp <- (high - low) / (6 * s)
  under("overall.spread", list(value = cp, from = cp * sqrt(qchisq(0.025, n - 1) / (n - 1)),
                               to = cp * sqrt(qchisq(0.975, n - 1) / (n - 1)),
                               bound = cp * sqrt(qchisq(0.05, n - 1) / (n - 1))))
}

# ---- several samples
say_groups <- function(case) {
  groups <- case$group
  x <- unlist(groups)
  sizes <- lengths(groups)
  label <- factor(rep(seq_along(groups), sizes))
  say_overall(case, x)
  if (length(groups) < 2 || min(sizes) == 0 || length(x) == length(groups) || var(x) == 0) return()
  scatter <- sum(tapply(x, label, function(v) sum((v - mean(v))^2)))
  if (scatter > 0) {
    table <- summary(aov(x ~ label))[[1]]
    under("anova", list(between.ss = table[1, 2], between.df = table[1, 1], within.ss = table[2, 2],
                        within.df = table[2, 1], between.f = table[1, 4], between.p = table[1, 5]))
  }
  if (min(sizes) < 2 || scatter == 0 || length(unique(sizes)) > 1) return()
  ranges <- sapply(groups, function(v) diff(range(v)))
  n <- sizes[1]
  say("mean_and_range.sigma_within", mean(ranges) / d2(n))
  say("mean_and_range.location.upper", mean(x) + 3 * mean(ranges) / d2(n) / sqrt(n))
  say("mean_and_range.spread.upper", mean(ranges) * (1 + 3 * d3(n) / d2(n)))
  s <- mean(sapply(groups, sd))
  say("mean_and_s.sigma_within", s / c4(n))
  say("mean_and_s.location.lower", mean(x) - 3 * s / c4(n) / sqrt(n))
  say("mean_and_s.spread.upper", s * (1 + 3 * sqrt(1 - c4(n)^2) / c4(n)))
}

say_table <- function(case) {
  rows <- do.call(rbind, lapply(case$cell, function(v)
    if (length(v) > 2) data.frame(a = v[1], b = v[2], x = v[-(1:2)]) else NULL))
  rows$a <- factor(rows$a)
  rows$b <- factor(rows$b)
  counts <- table(rows$a, rows$b)
  if (min(counts) < 2 || max(counts) > min(counts) || var(rows$x) == 0) return()
  scatter <- sum(tapply(rows$x, list(rows$a, rows$b), function(v) sum((v - mean(v))^2)))
  if (scatter == 0) return()
  table <- summary(aov(x ~ a * b, rows))[[1]]
  for (i in 1:3)
    under(paste0("two_way.", c("a", "b", "interaction")[i]),
          list(ss = table[i, 2], df = table[i, 1], f = table[i, 4], p = table[i, 5]))
  say("two_way.error.ss", table[4, 2])
  # Maximum likelihood and mean squares agree only where no variance wants to be below nought.
  ms <- table[, 3]
  if (ms[3] > ms[4] && ms[1] > ms[3] && ms[2] > ms[3])
    say_reml("study.kept", rows, x ~ 1 + (1 | a) + (1 | b) + (1 | a:b))
  pooled <- (table[3, 2] + table[4, 2]) / (table[3, 1] + table[4, 1])
  if (ms[1] > pooled && ms[2] > pooled) say_reml("study.pooled", rows, x ~ 1 + (1 | a) + (1 | b))
}

say_reml <- function(prefix, rows, model) {
  # In units in which the optimiser's absolute steps mean something.
  centre <- mean(rows$x)
  unit <- sd(rows$x)
  rows$x <- (rows$x - centre) / unit
  control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), calc.derivs = FALSE)
  fit <- suppressMessages(lmer(model, rows, REML = TRUE, control = control))
  parts <- as.data.frame(VarCorr(fit))
  of <- setNames(parts$sdcor * unit, parts$grp)
  under(prefix, list(repeatability = of[["Residual"]], piece = of[["a"]], appraiser = of[["b"]]))
  if ("a:b" %in% names(of)) say(paste0(prefix, ".interaction"), of[["a:b"]])
}

say_pairs <- function(case) {
  x <- case$first[[1]]
  d <- case$again[[1]] - x
  n <- length(x)
  say(c("agreement.difference", "agreement.sd"), c(mean(d), sd(d)))
  if (n < 3 || sd(d) == 0 || sd(x) == 0) return()
  test <- cor.test(d, x + d / 2)
  say(c("agreement.trend", "agreement.trend_p"), c(test$estimate, test$p.value))
  fit <- lm(d ~ x)
  of <- summary(fit)
  under("linearity", list(slope = of$coefficients[2, 1], slope_error = of$coefficients[2, 2],
                          intercept = of$coefficients[1, 1], intercept_error = of$coefficients[1, 2], s = of$sigma,
                          r_squared = of$r.squared, t_slope = of$coefficients[2, 3], p_slope = of$coefficients[2, 4],
                          p_intercept = of$coefficients[1, 4],
                          band_upper = predict(fit, data.frame(x = max(x)), interval = "confidence")[1, 3]))
}

# ---- without a sample
say_constants <- function(case) {
  n <- case$n[[1]]
  g <- case$g[[1]]
  two <- d2(n)
  three <- d3(n)
  s <- sqrt(1 - c4(n)^2)
  values <- list(d2 = two, d3 = three, c4 = c4(n), A = 3 / sqrt(n), A2 = 3 / two / sqrt(n), A3 = 3 / c4(n) / sqrt(n),
                 B3 = max(0, 1 - 3 * s / c4(n)), B4 = 1 + 3 * s / c4(n), B5 = max(0, c4(n) - 3 * s), B6 = c4(n) + 3 * s,
                 D1 = max(0, two - 3 * three), D2 = two + 3 * three, D3 = max(0, 1 - 3 * three / two),
                 D4 = 1 + 3 * three / two, E2 = 3 / two, E3 = 3 / c4(n), d2_star = sqrt(two^2 + three^2 / g))
  say(names(values), unlist(values))
}

say_distributions <- function(case) {
  at <- lapply(case, function(v) v[[1]])
  values <- list(
    normal_quantile = qnorm(at$p), normal_cdf = pnorm(at$t), normal_upper = pnorm(at$t, lower.tail = FALSE),
    student_quantile = qt(at$p, at$df), student_upper = pt(at$t, at$df, lower.tail = FALSE),
    chi_squared_quantile = qchisq(at$p, at$df), chi_squared_cdf = pchisq(at$chi, at$df),
    fisher_quantile = qf(at$p, at$df, at$df2), fisher_upper = pf(at$f, at$df, at$df2, lower.tail = FALSE))
  say(names(values), unlist(values))
}

say_tolerance <- function(case) {
  n <- case$n[[1]]
  share <- case$share[[1]]
  confidence <- case$confidence[[1]]
  say("howe", qnorm((1 + share) / 2) * sqrt((n - 1) * (1 + 1 / n) / qchisq(1 - confidence, n - 1)))
  say("two_sided", tol.lim.fac(n, share, 1 - confidence, mode = "exact", m = 100))
  say("one_sided", suppressWarnings(qt(confidence, n - 1, qnorm(share) * sqrt(n))) / sqrt(n))
}

say_budget <- function(case) {
  # Only what R has functions for: coverage factors. Components come as text.
  parts <- case$component
  u <- sapply(parts, function(w) {
    value <- as.numeric(w[2])
    extra <- as.numeric(w[3])
    df <- as.numeric(w[5])
    by <- switch(w[1], standard = 1, expanded = extra, rectangular = sqrt(3), triangular = sqrt(6), u_shaped = sqrt(2),
                 t_interval = qt((1 + extra) / 2, df))
    value / by * abs(as.numeric(w[4]))
  })
  df <- sapply(parts, function(w) as.numeric(w[5]))
  p <- as.numeric(case$probability[[1]])
  effective <- sum(u^2)^2 / sum(u^4 / df)
  say(c("u", "k"), c(sqrt(sum(u^2)), qt((1 + p) / 2, floor(effective * (1 + 1e-12)))))
  if (is.finite(effective)) say("effective_df", effective)
}

say_lot <- function(case) {
  at <- lapply(case, function(v) v[[1]])
  say(c("binomial", "hypergeometric", "share_accepted"),
      c(pbinom(at$accept, at$n, at$share), phyper(at$accept, at$bad, at$lot - at$bad, at$n),
        qbeta(1 - at$probability, at$accept + 1, at$n - at$accept)))
}

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1]))
source(file.path(here, "run_lengths.R"))

# ---- the file: a list of cases, each a list of keys with a list of lines
textual <- c("rules", "component")
case <- list()
kind <- ""
finish <- function() {
  if (kind == "") return()
  get(paste0("say_", kind))(case)
  kind <<- ""
}
for (line in c(readLines(data_file), "")) {
  words <- strsplit(trimws(line), " +")[[1]]
  if (length(words) == 0 || words[1] == "" || words[1] == "#") {
    finish()
  } else if (words[1] == "case") {
    case <- list()
    case_name <- words[2]
    kind <- words[3]
  } else {
    values <- words[-1]
    if (!(words[1] %in% textual)) values <- as.numeric(values)
    case[[words[1]]] <- c(case[[words[1]]], list(values))
  }
}
