/* The smooth roasts and the real ones by SUNDIALS' CVODE, from C: BDF, dense matrix, Jacobian by CVODE's own differences.
 *
 *     cc -O3 -march=native cvode.c -lsundials_cvode -lsundials_nvecserial -lm -o cvode
 *     cvode PROBLEM
 *
 * PROBLEM is written by compare.py. Prints a line a way of solving: name | kind | µs a roast | greatest error of the reading, K.
 * The solver's memory is made once and used for all roasts.
 */
#define _POSIX_C_SOURCE 199309L
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <time.h>

enum { STATES = 9, NUMBERS = 23, WATER = 4, RELEASED = 5, LOST = 6, HEATER = 7, TIP = 8 };

static double share[4], across[4][4], film_k[5], film_group[6], scales[STATES];
static int roasts, seconds;

/* One roast: its numbers, and the effort and the air it gets now. */
struct roast {
    double p[NUMBERS];
    const double *efforts; /* each second, a line between; none in the real problem */
    double effort, flow;
};

static double check(int flag, const char *what) {
    if (flag < 0) {
        fprintf(stderr, "%s failed: %d\n", what, flag);
        exit(1);
    }
    return 0;
}

static double poly(const double *c, int terms, double x) {
    double sum = c[terms - 1];
    for (int i = terms - 2; i >= 0; i--) sum = sum * x + c[i];
    return sum;
}

static int rates(sunrealtype t, N_Vector state, N_Vector rate, void *data) {
    const struct roast *r = data;
    const double *p = r->p, *y = N_VGetArrayPointer(state);
    double *out = N_VGetArrayPointer(rate);
    double effort = r->effort;
    if (r->efforts) {
        int i = (int)t;
        if (i > seconds - 2) i = seconds - 2;
        effort = r->efforts[i] + (t - i) * (r->efforts[i + 1] - r->efforts[i]);
    }
    double inlet = p[0] + p[3] / r->flow * y[HEATER];
    double x = (0.5 * (inlet + y[3]) + 273.15 - 450) / 200;
    double air = p[1] * r->flow;
    double units = (p[6] * poly(film_k, 5, x) + p[7] * sqrt(r->flow) * poly(film_group, 6, x)) / air;
    double mean = share[0] * y[0] + share[1] * y[1] + share[2] * y[2] + share[3] * y[3];
    double per_k = 1 / (mean + 273.15);
    out[WATER] = -p[11] * y[WATER] * y[WATER] * exp(-9889 * per_k);
    out[RELEASED] = p[12] * 116.2e6 * exp(-5500 * per_k) * (1 - y[RELEASED] / 232e3);
    out[LOST] = p[13] * 4e-4 * exp(130000 / 8.314462618 * (1 / 480.15 - per_k)) * (1 - y[LOST] / 0.25);
    double source = 2.79e6 * out[WATER] + out[RELEASED];
    double taken = air * (1 - exp(-units)) * (inlet - y[3]);
    for (int i = 0; i < 4; i++) {
        double flux = -p[8] * (across[i][0] * y[0] + across[i][1] * y[1] + across[i][2] * y[2] + across[i][3] * y[3]);
        if (i == 3) flux += taken;
        double heat = (1 - y[LOST]) * (1099 + 7 * y[i]) + 5000 * y[WATER];
        out[i] = (flux / (p[9] * share[i]) + source) / heat;
    }
    out[HEATER] = (effort * p[2] - y[HEATER]) / p[4];
    out[TIP] = (y[3] + (1 - p[15]) * exp(-p[16] * units) * (inlet - y[3]) - y[TIP]) / p[14];
    return 0;
}

static void start(const double *p, N_Vector state) {
    double *y = N_VGetArrayPointer(state);
    for (int i = 0; i < STATES; i++) y[i] = 0;
    for (int i = 0; i < 4; i++) y[i] = p[0];
    y[WATER] = p[10];
    y[TIP] = p[0];
}

static void smooth(void *solver, N_Vector state, struct roast *r, const double *efforts, double flow, double *readings) {
    sunrealtype reached = 0;
    r->efforts = efforts;
    r->flow = flow;
    start(r->p, state);
    check(CVodeReInit(solver, 0, state), "CVodeReInit");
    check(CVodeSetUserData(solver, r), "CVodeSetUserData");
    readings[0] = r->p[0] + r->p[17];
    for (int second = 1; second < seconds; second++) {
        check(CVode(solver, second, state, &reached, CV_NORMAL), "CVode");
        readings[second] = N_VGetArrayPointer(state)[TIP] + r->p[17];
    }
}

/* In closed loop: the controller acts each second, so the solver starts anew each second. */
static void real(void *solver, N_Vector state, struct roast *r, const double *setpoint, const double *flow, double *readings) {
    const double *p = r->p;
    double integral = 0, seen = setpoint[0] - p[0] - p[17];
    sunrealtype reached = 0;
    r->efforts = NULL;
    start(p, state);
    check(CVodeSetUserData(solver, r), "CVodeSetUserData");
    for (int second = 0; second < seconds; second++) {
        readings[second] = N_VGetArrayPointer(state)[TIP] + p[17];
        double error = setpoint[second] - readings[second], change = p[21] * (error - seen);
        seen += change;
        double wish = p[18] * error + p[20] * change + integral + p[22] * flow[second] * (setpoint[second] - p[0]);
        r->flow = flow[second];
        r->effort = fmin(fmax(wish, 0), fmin(1, p[5] * r->flow));
        if ((wish - r->effort) * error <= 0) integral += p[19] * error;
        if (second == seconds - 1) break;
        check(CVodeReInit(solver, second, state), "CVodeReInit");
        check(CVodeSetStopTime(solver, second + 1), "CVodeSetStopTime");
        check(CVode(solver, second + 1, state, &reached, CV_NORMAL), "CVode");
    }
}

static double *read_list(FILE *file, int count) {
    double *list = malloc(count * sizeof *list);
    for (int i = 0; i < count; i++)
        if (!list || fscanf(file, "%lf", &list[i]) != 1) {
            fprintf(stderr, "the problem ends early\n");
            exit(1);
        }
    return list;
}

static double now_us(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec * 1e6 + t.tv_nsec * 1e-3;
}

int main(int argc, char **argv) {
    FILE *file = argc == 2 ? fopen(argv[1], "r") : NULL;
    if (!file || fscanf(file, "%d %d", &roasts, &seconds) != 2) {
        fprintf(stderr, "usage: cvode PROBLEM\n");
        return 1;
    }
    double *head = read_list(file, 4 + 16 + 5 + 6 + STATES + 1);
    for (int i = 0; i < 4; i++) share[i] = head[i];
    for (int i = 0; i < 16; i++) across[i / 4][i % 4] = head[4 + i];
    for (int i = 0; i < 5; i++) film_k[i] = head[20 + i];
    for (int i = 0; i < 6; i++) film_group[i] = head[25 + i];
    for (int i = 0; i < STATES; i++) scales[i] = head[31 + i];
    double even_flow = head[31 + STATES];
    double *setpoint = read_list(file, seconds), *flow = read_list(file, seconds);
    struct roast *all = calloc(roasts, sizeof *all);
    double **efforts = calloc(roasts, sizeof *efforts), **want[2];
    want[0] = calloc(roasts, sizeof *want[0]);
    want[1] = calloc(roasts, sizeof *want[1]);
    for (int i = 0; i < roasts; i++) {
        double *p = read_list(file, NUMBERS);
        for (int k = 0; k < NUMBERS; k++) all[i].p[k] = p[k];
        efforts[i] = read_list(file, seconds);
        want[0][i] = read_list(file, seconds);
        want[1][i] = read_list(file, seconds);
    }

    const double tolerances[] = {1e-4, 3e-5, 1e-5};
    SUNContext context;
#if SUNDIALS_VERSION_MAJOR >= 7
    check(SUNContext_Create(SUN_COMM_NULL, &context), "SUNContext_Create");
#else
    check(SUNContext_Create(NULL, &context), "SUNContext_Create");
#endif
    N_Vector state = N_VNew_Serial(STATES, context), absolute = N_VNew_Serial(STATES, context);
    double *readings = malloc(seconds * sizeof *readings);
    for (int is_real = 0; is_real < 2; is_real++)
        for (int k = 0; k < 3; k++) {
            double relative = tolerances[k], worst = 0, took = 0;
            void *solver = CVodeCreate(CV_BDF, context);
            start(all[0].p, state);
            check(CVodeInit(solver, rates, 0, state), "CVodeInit");
            for (int i = 0; i < STATES; i++) N_VGetArrayPointer(absolute)[i] = relative * scales[i];
            check(CVodeSVtolerances(solver, relative, absolute), "CVodeSVtolerances");
            SUNMatrix matrix = SUNDenseMatrix(STATES, STATES, context);
            SUNLinearSolver linear = SUNLinSol_Dense(state, matrix, context);
            check(CVodeSetLinearSolver(solver, linear, matrix), "CVodeSetLinearSolver");
            check(CVodeSetMaxNumSteps(solver, 100000), "CVodeSetMaxNumSteps");
            for (int i = 0; i < roasts; i++) {
                double begin = now_us();
                if (is_real) real(solver, state, &all[i], setpoint, flow, readings);
                else smooth(solver, state, &all[i], efforts[i], even_flow, readings);
                took += now_us() - begin;
                for (int second = 0; second < seconds; second++)
                    worst = fmax(worst, fabs(readings[second] - want[is_real][i][second]));
            }
            printf("CVODE BDF rtol %.0e, C | %s | %.2f | %.5f\n", relative, is_real ? "real" : "smooth", took / roasts, worst);
            CVodeFree(&solver);
            SUNLinSolFree(linear);
            SUNMatDestroy(matrix);
        }
    return 0;
}
