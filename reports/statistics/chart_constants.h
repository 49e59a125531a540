// The constants of control charts, from their definitions and not from a table.
//
// d2(n) = E(W), d3(n) = sd(W) of the range W of n standard normal values:
//   d2 = integral of 1 - Phi^n - (1 - Phi)^n, E(W^2) = 2 integral of w P(W > w),
//   P(W <= w) = n integral of phi(x) (Phi(x + w) - Phi(x))^(n - 1);
// c4(n) = sqrt(2 / (n - 1)) Gamma(n / 2) / Gamma((n - 1) / 2) = E(s) of n standard normal values.
// The others follow (ASTM MNL 7, ISO 7870-2). Precondition: n >= 2, else std::domain_error. Computed once for each n.
#pragma once

namespace crimpgate::statistics {

struct ChartConstants {
    int n = 0;
    double d2 = 0, d3 = 0, c4 = 0;
    double A = 0, A2 = 0, A3 = 0;           // limits of means from sigma, mean range, mean s
    double B3 = 0, B4 = 0, B5 = 0, B6 = 0;  // limits of s
    double D1 = 0, D2 = 0, D3 = 0, D4 = 0;  // limits of ranges
    double E2 = 0, E3 = 0;                  // limits of individuals
};
const ChartConstants& chart_constants(int n);

// d2*(m, g) = sqrt(d2(m)^2 + d3(m)^2 / g): for a mean of g ranges of m values that is squared (gauge studies).
double d2_star(int m, int g);

}  // namespace crimpgate::statistics
