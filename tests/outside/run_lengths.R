# Run lengths by R, for reference.R.
#
# Where the package spc knows a set of rules, its own chain; for every set a second chain, made from the rules' words and
# the last points themselves (not from counters), solved by LAPACK. So some figures are said twice: "rules_run_length" is
# held against both.

# Points by where they lie: -4 .. -1 below the centre, 1 .. 4 above; 4 is beyond three sigma.
places <- c(-4:-1, 1:4)

signals_with <- list(
  beyond_three_sigma = function(h) abs(h[1]) == 4,
  two_of_three_beyond_two_sigma = function(h) abs(h[1]) >= 3 && sum(head(h, 3) * sign(h[1]) >= 3) >= 2,
  four_of_five_beyond_one_sigma = function(h) abs(h[1]) >= 2 && sum(head(h, 5) * sign(h[1]) >= 2) >= 4,
  eight_on_one_side = function(h) length(h) >= 8 && abs(sum(sign(h[1:8]))) == 8,
  nine_on_one_side = function(h) length(h) >= 9 && abs(sum(sign(h[1:9]))) == 9,
  fifteen_within_one_sigma = function(h) length(h) >= 15 && all(abs(h[1:15]) == 1),
  eight_beyond_one_sigma = function(h) length(h) >= 8 && all(abs(h[1:8]) >= 2)
)

# What of the last points (newest first) can still matter: of a run only the side or the zone, of the nearer ones more.
remembered <- function(h, rules) {
  kept <- c()
  lead <- function(good) if (length(h) == 0) 0 else sum(cumprod(good))
  if ("two_of_three_beyond_two_sigma" %in% rules) kept <- c(kept, pmax(abs(c(head(h, 2), 0, 0)[1:2]), 2) * sign(c(head(h, 2), 0, 0)[1:2]))
  if ("four_of_five_beyond_one_sigma" %in% rules) {
    last <- c(head(h, 4), 0, 0, 0, 0)[1:4]
    kept <- c(kept, ifelse(abs(last) >= 2, sign(last), 0))
  }
  if (any(c("eight_on_one_side", "nine_on_one_side") %in% rules))
    kept <- c(kept, lead(sign(h) == sign(h[1])) * if (length(h)) sign(h[1]) else 0)
  if ("fifteen_within_one_sigma" %in% rules) kept <- c(kept, lead(abs(h) == 1))
  if ("eight_beyond_one_sigma" %in% rules) kept <- c(kept, lead(abs(h) >= 2))
  paste(kept, collapse = " ")
}

# For each state the state after a point at each place; NA is the signal.
chains <- list()
chain_of <- function(rules) {
  key <- paste(rules, collapse = " ")
  if (!is.null(chains[[key]])) return(chains[[key]])
  number <- new.env()
  assign(paste0("s", remembered(c(), rules)), 1, number)
  histories <- list(c())
  following <- list()
  at <- 1
  while (at <= length(histories)) {
    following[[at]] <- sapply(places, function(place) {
      h <- head(c(place, histories[[at]]), 15)
      if (any(sapply(rules, function(rule) signals_with[[rule]](h)))) return(NA)
      name <- paste0("s", remembered(h, rules))
      if (!exists(name, number, inherits = FALSE)) {
        histories[[length(histories) + 1]] <<- h
        assign(name, length(histories), number)
      }
      get(name, number)
    })
    at <- at + 1
  }
  chains[[key]] <<- do.call(rbind, following)
  chains[[key]]
}

chain_run_length <- function(rules, shift) {
  chance <- diff(c(0, pnorm(-3:3, shift), 1))
  following <- chain_of(rules)
  n <- nrow(following)
  stays <- matrix(0, n, n)
  for (place in 1:8) {
    to <- following[, place]
    from <- which(!is.na(to))
    at <- cbind(from, to[from])
    stays[at] <- stays[at] + chance[place]
  }
  solve(diag(n) - stays, rep(1, n))[1]
}

spc_types <- c("1", "12", "13", "14", "SameSide9")
names(spc_types) <- c("beyond_three_sigma", "beyond_three_sigma two_of_three_beyond_two_sigma",
                      "beyond_three_sigma four_of_five_beyond_one_sigma", "beyond_three_sigma eight_on_one_side",
                      "beyond_three_sigma nine_on_one_side")

say_run_lengths <- function(case) {
  shift <- as.numeric(case$shift[[1]])
  if (!is.null(case$rules)) {
    rules <- case$rules[[1]]
    say("rules_run_length", chain_run_length(rules, shift))
    key <- paste(rules, collapse = " ")
    if (key %in% names(spc_types)) say("rules_run_length.spc", xshewhartrunsrules.arl(shift, type = spc_types[[key]]))
  }
  if (!is.null(case$cusum)) {
    w <- as.numeric(case$cusum[[1]])
    say("cusum_run_length", xcusum.arl(w[1], w[2], shift, hs = w[3] * w[2] / 2, sided = "two", r = 120))
  }
  if (!is.null(case$ewma)) {
    w <- as.numeric(case$ewma[[1]])
    say("ewma_run_length", xewma.arl(w[1], w[2], shift, sided = "two", limits = "fix", r = 120))
  }
}
