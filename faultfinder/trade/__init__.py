"""The trade's arithmetic: what a reading says, and what this machine ought to read.

A module a subject; its docstring tells units and sources. A function's own tells what it answers and its range; every
formula raises FormulaError, naming the value and the range, for an input outside it, and for one that is no number.
Nothing here knows of rule files or of an appliance.
What is marked 'chosen' or 'common practice' has no source; what is 'from memory' was not looked up.

reading*, typed_text, units        a typed reading, its quantity and unit
circuit, heater, heating_alloy     sections, motor, currents; cold against hot
supply, capacitor, winding, plate  mains, leads and fuses; capacitors; windings; whether plate values go together
power_tolerance, in_service_limits standards' limits
sensors, component_codes           NTC, platinum, thermostats; markings
refrigerants                       pressure and temperature of the gases of heat pumps
drying, moist_air, airflow, duct   water, heat, air, the vent run
energy_cost                        energy and money
cycle_*                            a logged cycle
meter, statistics                  how far a reading can be trusted
functions, plain_functions         the formulas that rule files use by name
"""
