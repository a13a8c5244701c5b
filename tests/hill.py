"""site.toml of the small invented orchard that most tests stand on."""

SITE = """name = "Test hill"
timezone = "Europe/London"
latitude = 52.1
longitude = -3.0
elevation_m = 240

[normals]
minimum_c = [1.2, 1.1, 2.4, 3.9, 6.7, 9.6, 11.6, 11.5, 9.6, 7.0, 3.8, 1.6]
maximum_c = [6.9, 7.4, 9.9, 12.9, 16.3, 19.1, 21.2, 20.8, 18.2, 14.0, 10.0, 7.3]
"""
