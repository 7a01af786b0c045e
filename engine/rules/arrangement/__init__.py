"""Rules on how the boat is put together: banks, studs, what stays live."""
