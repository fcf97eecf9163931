/* The only file that knows of Python: plain integers and bytes in, integers and bytes out.
 *
 * A position is a tuple of eleven integers: the six sets of pawns, knights, bishops, rooks, queens and
 * kings, the sets of white and black men, the side to move (0 White), the castling rights (the sum of
 * 1, 2 White's short and long, 4, 8 Black's) and the en passant square (0: none). A position that cannot
 * be played from is a ValueError. */
#define PY_SSIZE_T_CLEAN
#include <Python.h>

#include <string.h>

#include "attacks.h"
#include "core.h"

static bool can_extract(void) {
#if defined(__GNUC__) && defined(__x86_64__)
    __builtin_cpu_init();
#if !defined(__clang__)
    /* these have the instruction, but take it apart into hundreds of steps */
    if (__builtin_cpu_is("znver1") || __builtin_cpu_is("znver2")) return false;
#endif
    return __builtin_cpu_supports("popcnt") && __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
#else
    return false;
#endif
}

static const Core *core_for(int portable) { return portable || !can_extract() ? &portable_core : &extracting_core; }

static int read_position(PyObject *tuple, void *into) {
    unsigned long long set[8];
    int turn, castling, en_passant;
    Board *board = into;
    if (!PyTuple_Check(tuple)) {
        PyErr_SetString(PyExc_TypeError, "a position is a tuple of eleven integers");
        return 0;
    }
    if (!PyArg_ParseTuple(tuple, "KKKKKKKKiii:position", set, set + 1, set + 2, set + 3, set + 4, set + 5, set + 6, set + 7,
                          &turn, &castling, &en_passant))
        return 0;
    memset(board, 0, sizeof *board);
    Bits men = 0;
    bool shared = false;
    for (int kind = PAWN; kind <= KING; kind++) {
        shared |= (men & set[kind]) != 0;
        men |= set[kind];
        for (int i = 0; i < 3; i++)
            if ((kind + 1) >> i & 1) board->plane[i] |= set[kind];
    }
    board->white = set[6];
    board->state = state_of(turn ? BLACK : WHITE, castling & 15, en_passant & 63);
    if (shared || set[6] & set[7] || men != (set[6] | set[7]) || !portable_core.playable(board)) {
        PyErr_SetString(PyExc_ValueError, "not a position that can be played from");
        return 0;
    }
    /* kept only where a pawn stands ready, so that equal positions look equal */
    if (!(tables.pawn[!turn][en_passant & 63] & pawns_of(board) & men_of(board, turn ? BLACK : WHITE)))
        board->state = state_of(turn ? BLACK : WHITE, castling & 15, 0);
    return 1;
}

PyDoc_STRVAR(moves_doc,
             "moves(position, portable=False) -> (moves, check)\n\n"
             "The legal moves as 16-bit words in the machine's byte order: origin, target and promoted kind\n"
             "(1 knight to 4 queen) in 6, 6 and 3 bits from the lowest; and whether the side to move is in check.");

static PyObject *py_moves(PyObject *self, PyObject *args) {
    (void)self;
    Board board;
    int portable = 0;
    Move moves[MOST_MOVES];
    uint16_t names[MOST_MOVES];
    if (!PyArg_ParseTuple(args, "O&|p:moves", read_position, &board, &portable)) return NULL;
    const Core *core = core_for(portable);
    const size_t number = core->moves(&board, moves);
    for (size_t i = 0; i < number; i++) names[i] = (uint16_t)(moves[i] & MOVE_NAME);
    return Py_BuildValue("y#O", (const char *)names, (Py_ssize_t)(number * sizeof *names),
                         core->check(&board) ? Py_True : Py_False);
}

PyDoc_STRVAR(perft_doc, "perft(position, depth, portable=False) -> int\n\nThe number of lines of play of `depth` plies.");

static PyObject *py_perft(PyObject *self, PyObject *args) {
    (void)self;
    Board board;
    int depth, portable = 0;
    uint64_t lines;
    if (!PyArg_ParseTuple(args, "O&i|p:perft", read_position, &board, &depth, &portable)) return NULL;
    Py_BEGIN_ALLOW_THREADS
    lines = core_for(portable)->perft(&board, depth);
    Py_END_ALLOW_THREADS
    return PyLong_FromUnsignedLongLong(lines);
}

PyDoc_STRVAR(attacks_doc,
             "attacks(kind, square, occupied, portable=False) -> int\n\n"
             "The squares that a man (1 knight to 5 king) attacks when `occupied` squares stop its lines.");

static PyObject *py_attacks(PyObject *self, PyObject *args) {
    (void)self;
    int kind, square, portable = 0;
    unsigned long long occupied;
    if (!PyArg_ParseTuple(args, "iiK|p:attacks", &kind, &square, &occupied, &portable)) return NULL;
    if (kind < KNIGHT || kind > KING || square < 0 || square > 63) {
        PyErr_SetString(PyExc_ValueError, "kind must be 1 to 5 and square 0 to 63");
        return NULL;
    }
    return PyLong_FromUnsignedLongLong(core_for(portable)->attacks((enum Kind)kind, square, occupied));
}

PyDoc_STRVAR(search_doc,
             "search(position, genre, task, n, most_positions, most_seconds, most_lines, cancel, portable=False)\n"
             "    -> (results, positions, seconds, ended)\n\n"
             "Run one search outside the interpreter lock. `results` are 16-bit words as written by prove.h;\n"
             "`cancel` is a buffer of one byte that ends the search when it becomes non-zero, or None;\n"
             "`most_seconds` may be infinite; `ended` tells that a limit was reached before the answer.");

static PyObject *py_search(PyObject *self, PyObject *args) {
    (void)self;
    Board board;
    int genre, task, n, portable = 0;
    unsigned long long most_positions, most_lines;
    double most_seconds, seconds;
    PyObject *cancel, *out = NULL;
    Py_buffer flag;
    if (!PyArg_ParseTuple(args, "O&iiiKdKO|p:search", read_position, &board, &genre, &task, &n, &most_positions, &most_seconds,
                          &most_lines, &cancel, &portable))
        return NULL;
    const int longest = task == LINES ? 2 * MOST_LENGTH + 1 : MOST_LENGTH;
    const int shortest = task == REPLIES ? 0 : 1;
    if (genre < DIRECT || genre > HELP_STALEMATE || task < PROVE || task > LINES || n < shortest || n > longest ||
        (task == LINES) != (genre >= HELP_MATE)) {
        PyErr_SetString(PyExc_ValueError, "no such search");
        return NULL;
    }
    Search *search = PyMem_Calloc(1, sizeof *search);
    if (!search) return PyErr_NoMemory();
    search->genre = (enum Genre)genre;
    search->most_positions = most_positions;
    search->most_seconds = most_seconds;
    search->most_lines = (size_t)most_lines;
    if (cancel != Py_None) {
        if (PyObject_GetBuffer(cancel, &flag, PyBUF_SIMPLE)) goto done;
        search->cancel = flag.len > 0 ? flag.buf : NULL;
    }
    Py_BEGIN_ALLOW_THREADS
    core_for(portable)->run(search, &board, (enum Task)task, n);
    seconds = now() - search->began;
    Py_END_ALLOW_THREADS
    if (cancel != Py_None) PyBuffer_Release(&flag);
    if (search->out_of_memory) {
        PyErr_NoMemory();
        goto done;
    }
    out = Py_BuildValue("y#KdO", search->results.words ? (const char *)search->results.words : "",
                        (Py_ssize_t)(search->results.length * sizeof(uint16_t)), (unsigned long long)search->positions, seconds,
                        search->ended ? Py_True : Py_False);
done:
    free(search->results.words);
    PyMem_Free(search);
    return out;
}

static PyMethodDef methods[] = {
    {"moves", py_moves, METH_VARARGS, moves_doc},
    {"perft", py_perft, METH_VARARGS, perft_doc},
    {"attacks", py_attacks, METH_VARARGS, attacks_doc},
    {"search", py_search, METH_VARARGS, search_doc},
    {NULL, NULL, 0, NULL},
};

static int fill_module(PyObject *module) {
    if (!tables.knight[0]) fill_tables(can_extract());
    return PyModule_AddStringConstant(module, "core", core_for(0)->name);
}

static PyModuleDef_Slot slots[] = {
    {Py_mod_exec, fill_module},
    {0, NULL},
};

static struct PyModuleDef definition = {
    .m_base = PyModuleDef_HEAD_INIT,
    .m_name = "_search",
    .m_doc = "The proof kernel. See `keyproof.rules.proof.prover` for what it answers.",
    .m_slots = slots,
    .m_methods = methods,
};

PyMODINIT_FUNC PyInit__search(void) { return PyModuleDef_Init(&definition); }
