"""Access states and the ways between them; every instruction passes the gate in here."""
