"""The trade's arithmetic: what a reading says, and what this machine ought to read.

A module a subject; its docstring tells units and sources. A function's own tells what it answers and its range; every
formula raises FormulaError, naming the value and the range, for an input outside it, and for one that is no number.
Nothing here knows of rule files or of an appliance.
What is marked 'chosen' or 'common practice' has no source; what is 'from memory' was not looked up.

readings/    a typed reading, its quantity and unit; how far a meter can be trusted
electrical/  circuit, heating_alloy: heater and motor, currents, cold against hot; plate: do its values agree
             supply, capacitor, winding: mains, leads and fuses; capacitors; windings
             power_tolerance, in_service_limits: standards' limits
             sensors: NTC, platinum
air/         drying, moist_air, airflow, duct: water, heat, air, the vent run
cycle/       a logged cycle; cycle_temperature: how far one rose, and where its heat went off and on
refrigerants                 pressure and temperature of the gases of heat pumps
energy_cost                  energy and money
functions                    the formulas that rule files use by name; inputs: how an input is refused
"""
