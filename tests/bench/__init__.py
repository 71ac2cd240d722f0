"""Benchmarks, run on demand: ``python -m tests.bench`` lists them, ``python -m tests.bench NAME`` runs one.

A module of this package that has a tuple ``BENCHMARKS`` of ``measure.Benchmark`` takes part; no list names them.
"""
