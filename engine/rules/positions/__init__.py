"""Rules proved over every position of the switches: what can meet, what can be cut, what stays live."""
