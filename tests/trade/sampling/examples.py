"""Samples with published answers, shared by the tests of this folder."""

# Freese, Elementary Forest Sampling, USDA Agriculture Handbook 232 (1962): 20 units of 100.
FREESE = (10, 9, 10, 9, 11, 16, 11, 7, 12, 12, 11, 3, 5, 11, 14, 8, 13, 12, 20, 10)
# Levy and Lemeshow, Sampling of Populations, p. 106: 6 units of 54.
LEVY = (15, 13, 12, 10, 21, 10)
# The "fpc" data of the Stata manual and of R's survey package: size of the stratum, its sample.
FPC = ((15, (2.8, 4.1, 6.8, 6.8, 9.2)), (12, (3.7, 6.6, 4.2)))
# Scheaffer and others, hours before a television: size, n, mean, standard deviation.
TELEVISION = ((155, 20, 33.9, 5.946), (62, 8, 25.125, 15.25), (93, 12, 19.0, 9.361))
# Invented: areas in m² and stems in quadrats of 1 m² and of 0.25 m².
AREAS = (120, 300, 80)
WHOLE_METRES = ((42, 55, 38, 61, 47), (12, 9, 20, 15, 11, 14), (70, 88, 64, 75))
QUARTERS = ((11, 14, 9, 15, 12), (3, 2, 5, 4, 3, 4), (18, 22, 16, 19))
# Invented: 12 quadrats of a clumped stand.
CLUMPED = (0, 3, 12, 0, 7, 25, 1, 0, 18, 4, 9, 2)
