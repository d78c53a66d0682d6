#!/usr/bin/env python3
"""Binds the shared library from Python: how fast can a lesson be played, and with which hands?

    practice.py LIBRATAMARK.SO LESSON.YAML [LESSON.MID]

The structures below are the beginnings of those in ratamark.h: later versions add fields only at the
end, and lend structures by pointer, so a binding needs no more than the fields that it reads.
"""
import ctypes
import sys
from ctypes import POINTER, c_bool, c_char_p, c_double, c_int, c_size_t, c_uint32, c_void_p

OK, MIDI = 0, 5
UP_TO_TEMPO = 0
TAKE = ctypes.CFUNCTYPE(c_bool, c_void_p, c_void_p, c_size_t)


class Text(ctypes.Structure):
    _fields_ = [('name', c_char_p), ('bytes', c_char_p), ('length', c_size_t)]


class Place(ctypes.Structure):
    _fields_ = [('file', c_char_p), ('line', c_uint32), ('column', c_uint32), ('length', c_uint32)]


class Diagnostic(ctypes.Structure):
    _fields_ = [('severity', c_int), ('code', c_char_p), ('at', Place), ('message', c_char_p)]


class Verdict(ctypes.Structure):
    _fields_ = [('exercise', c_uint32), ('title', c_char_p), ('level', c_char_p), ('kind', c_int),
                ('max_tempo', c_double), ('hands_chosen', c_bool), ('move', c_char_p),
                ('limb', c_char_p)]


class Sticking(ctypes.Structure):
    _fields_ = [('exercise', c_uint32), ('bar', c_uint32), ('hands', c_char_p), ('chosen', c_uint32)]


def bind(path):
    library = ctypes.CDLL(path)
    lesson = c_void_p
    for name, result, arguments in [
            ('read', lesson, [POINTER(Text), POINTER(Text)]),
            ('free', None, [lesson]),
            ('check', c_int, [lesson]),
            ('judge', c_int, [lesson, c_void_p]),
            ('stick', c_int, [lesson, c_void_p]),
            ('write', c_int, [lesson, c_int, c_void_p, TAKE, c_void_p]),
            ('diagnostic_count', c_size_t, [lesson]),
            ('diagnostic', POINTER(Diagnostic), [lesson, c_size_t]),
            ('verdict_count', c_size_t, [lesson]),
            ('verdict', POINTER(Verdict), [lesson, c_size_t]),
            ('sticking_count', c_size_t, [lesson]),
            ('sticking', POINTER(Sticking), [lesson, c_size_t])]:
        function = getattr(library, 'ratamark_' + name)
        function.restype, function.argtypes = result, arguments
    return library


def each(library, lesson, name):
    for index in range(getattr(library, f'ratamark_{name}_count')(lesson)):
        yield getattr(library, f'ratamark_{name}')(lesson, index).contents


def main(library_path, lesson_path, midi_path=None):
    library = bind(library_path)
    with open(lesson_path, 'rb') as file:
        content = file.read()
    text = Text(lesson_path.encode(), content, len(content))
    lesson = library.ratamark_read(ctypes.byref(text), None)
    good = library.ratamark_check(lesson) == OK
    if good:
        library.ratamark_stick(lesson, None)
        library.ratamark_judge(lesson, None)
    for found in each(library, lesson, 'diagnostic'):
        if found.severity == 0:
            print(f'{found.at.line}:{found.at.column}: {found.message.decode()}', file=sys.stderr)
    for verdict in each(library, lesson, 'verdict'):
        if verdict.kind == UP_TO_TEMPO:
            print(f'exercise {verdict.exercise}: up to {verdict.max_tempo} ({verdict.level.decode()}), '
                  f'{verdict.limb.decode()}: {verdict.move.decode()}')
    for bar in each(library, lesson, 'sticking'):
        print(f'exercise {bar.exercise}, bar {bar.bar}: {bar.hands.decode()}')
    if good and midi_path:
        with open(midi_path, 'wb') as file:
            take = TAKE(lambda _, address, length: file.write(ctypes.string_at(address, length)) == length)
            good = library.ratamark_write(lesson, MIDI, None, take, None) == OK
    library.ratamark_free(lesson)
    return 0 if good else 1


if __name__ == '__main__':
    sys.exit(main(*sys.argv[1:]))
