/* The replay as a Python module: compiled rates between two arrays, with as
 * little in between as Python allows. */
#define PY_SSIZE_T_CLEAN
#define NPY_NO_DEPRECATED_API NPY_1_7_API_VERSION
#include <Python.h>
#include <numpy/arrayobject.h>

#include "plant.h"

static PyObject *new_vector(void) {
    npy_intp slots = plant_slots();
    return PyArray_SimpleNew(1, &slots, NPY_DOUBLE);
}

static PyObject *load(PyObject *self, PyObject *words) {
    const char *scenario;
    int with_ledger;
    if (!PyArg_ParseTuple(words, "si", &scenario, &with_ledger)) return NULL;
    if (plant_load(scenario, with_ledger) != 0) {
        PyErr_SetString(PyExc_RuntimeError, "no replay");
        return NULL;
    }
    Py_RETURN_NONE;
}

static PyObject *start(PyObject *self, PyObject *none) {
    PyObject *y = new_vector();
    if (y) plant_start(PyArray_DATA((PyArrayObject *)y));
    return y;
}

static PyObject *set_input(PyObject *self, PyObject *tick) {
    plant_set_input((int)PyLong_AsLong(tick));
    if (PyErr_Occurred()) return NULL;
    Py_RETURN_NONE;
}

/* rates(t, y): a new array */
static PyObject *rates(PyObject *self, PyObject *const *words, Py_ssize_t count) {
    if (count != 2 || !PyArray_Check(words[1])) {
        PyErr_SetString(PyExc_TypeError, "rates(t, y) with an array y");
        return NULL;
    }
    PyArrayObject *y = (PyArrayObject *)words[1];
    if (PyArray_TYPE(y) != NPY_DOUBLE || !PyArray_ISCARRAY_RO(y)
        || PyArray_SIZE(y) != plant_slots()) {
        PyErr_SetString(PyExc_TypeError, "y is no plain vector of the plant's length");
        return NULL;
    }
    double since_s = PyFloat_AsDouble(words[0]);
    if (PyErr_Occurred()) return NULL;
    PyObject *dydt = new_vector();
    if (dydt) plant_rhs(since_s, PyArray_DATA(y), PyArray_DATA((PyArrayObject *)dydt));
    return dydt;
}

static PyObject *ticks(PyObject *self, PyObject *none) { return PyLong_FromLong(plant_ticks()); }
static PyObject *tick_s(PyObject *self, PyObject *none) { return PyFloat_FromDouble(plant_tick_s()); }
static PyObject *evaluations(PyObject *self, PyObject *none) {
    return PyLong_FromLong(plant_evaluations());
}

static PyMethodDef methods[] = {
    {"load", load, METH_VARARGS, "load(scenario, with_ledger): records the replay"},
    {"start", start, METH_NOARGS, "the state at the start"},
    {"set_input", set_input, METH_O, "lays the input of a tick"},
    {"rates", (PyCFunction)(void (*)(void))rates, METH_FASTCALL, "rates(t, y)"},
    {"ticks", ticks, METH_NOARGS, "number of ticks"},
    {"tick_s", tick_s, METH_NOARGS, "length of a tick [s]"},
    {"evaluations", evaluations, METH_NOARGS, "calls of rates so far"},
    {NULL, NULL, 0, NULL},
};

static struct PyModuleDef module = {PyModuleDef_HEAD_INIT, "plant_rhs", NULL, -1, methods};

PyMODINIT_FUNC PyInit_plant_rhs(void) {
    import_array();
    return PyModule_Create(&module);
}
