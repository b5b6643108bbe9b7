/* The same aim windows in C: Newton with throw on every edge, compiled as it is written and once more
 * for four numbers at a time. Reads the file of aims and edges that the comparison writes (see run.sh)
 * and prints microseconds a window. The model is that of the program; nothing is taken from it. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define EDGES 7
#define STEPS 12
#define BLOCK 64
static const double D = 0.05715, CAP = (2.0 / 7.0) / 1.95;
static const double MU_A = 9.951e-3, MU_B = 0.108, MU_C = 1.088;

/* One step towards the line of centres that sends the object ball along `wanted`; the aim there. */
static inline double step(double apart, double speed, double roll, double wanted, double centres,
                          double *aim) {
    /* The line of centres stays within a right angle; sine and cosine of one number would be joined into
     * a call that has no form for four. */
    double s = sin(centres), c = sqrt(1.0 - s * s);
    double x = apart - D * c, y = -D * s;
    double per = 1.0 / sqrt(x * x + y * y);
    double gx = x * per, gy = y * per;
    double sn = gx * s - gy * c, cs = gx * c + gy * s;
    double vt = speed * sn, vk = roll * speed * cs;
    double vr = sqrt(vt * vt + vk * vk) + 1e-300;
    double decaying = MU_B * exp(-MU_C * vr);
    double mu = MU_A + decaying;
    double vn = speed * cs;
    double dvr = (vt * vn - vk * roll * speed * sn) / vr;
    int grips = mu * vn >= CAP * vr;
    double t = grips ? CAP * sn / cs : mu * vt / vr;
    double dt = grips ? CAP / (cs * cs)
                      : -MU_C * decaying * dvr * vt / vr + mu * (vn - vt * dvr / vr) / vr;
    double theta = centres - atan(t);
    double slope = 1.0 - dt / (1.0 + t * t) * (1.0 + D * cs * per);
    *aim = atan(gy / gx);
    return (theta - wanted) / slope;
}

/* All edges of some windows, side by side: `n` numbers of each. */
static void solve(int n, const double *restrict apart, const double *restrict speed,
                  const double *restrict roll, const double *restrict wanted, double *restrict aims) {
    double centres[BLOCK], off[BLOCK];
    for (int from = 0; from < n; from += BLOCK) {
        int m = n - from < BLOCK ? n - from : BLOCK;
        for (int k = 0; k < m; k++) centres[k] = wanted[from + k];
        for (int round = 0; round < STEPS; round++) {
            double most = 0.0;
#pragma omp simd reduction(max : most)
            for (int k = 0; k < m; k++) {
                int i = from + k;
                off[k] = step(apart[i], speed[i], roll[i], wanted[i], centres[k], &aims[i]);
                centres[k] -= off[k];
                most = fmax(most, fabs(off[k]));
            }
            if (most < 1e-12) break;
        }
    }
}

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(int argc, char **argv) {
    FILE *file = argc > 2 ? fopen(argv[1], "r") : NULL;
    if (!file) return 2;
    size_t room = 1 << 16, n = 0;
    double *truth = malloc(room * EDGES * sizeof *truth);
    double *apart = malloc(room * EDGES * 8), *speed = malloc(room * EDGES * 8);
    double *roll = malloc(room * EDGES * 8), *wanted = malloc(room * EDGES * 8);
    double *aims = malloc(room * EDGES * 8);
    while (fgetc(file) != '\n') {
    }
    for (double a, v, r; n < room && fscanf(file, "%lf,%lf,%lf", &a, &v, &r) == 3; n++) {
        for (int e = 0; e < EDGES; e++) {
            size_t i = n * EDGES + e;
            apart[i] = a, speed[i] = v, roll[i] = r;
            if (fscanf(file, ",%lf", &wanted[i]) != 1) return 2;
        }
        for (int e = 0; e < EDGES; e++)
            if (fscanf(file, ",%lf", &truth[n * EDGES + e]) != 1) return 2;
    }
    double best = INFINITY, worst = 0.0;
    for (int round = 0; round < 5; round++) {
        double start = now();
        solve((int)(n * EDGES), apart, speed, roll, wanted, aims);
        best = fmin(best, now() - start);
    }
    for (size_t i = 0; i < n * EDGES; i++) worst = fmax(worst, fabs(aims[i] - truth[i]));
    printf("%s,%zu,%.4f,%.2e\n", argv[2], n, best / n * 1e6, worst);
    return 0;
}
