"""Where the network, solved, says otherwise than the formula of a standard."""
