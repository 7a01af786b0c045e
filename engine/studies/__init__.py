"""Studies of a whole boat: the network solved for true volts and amps, fault levels, and what is built on them.

They know the boat, its pole graph and the tables of the standards; no rule, no drawing, no window.
"""
