"""The names that files give to the columns that matter, after lower case, without accents, unit and punctuation."""

from __future__ import annotations


def _names(text: str) -> tuple[str, ...]:
    return tuple(text.split())


MINIMUM = frozenset(
    _names(
        """
        min minimum mintemp mintemperature minimumtemp minimumtemperature minairtemp minairtemperature mint
        tempmin tmin tmn tempminimum temperaturemin temperatureminimum temperature2mmin airtempmin airtemperaturemin
        low lowtemp lowtemperature templow temperaturelow outdoorlow outdoorlowtemperature outdoortemperaturelow
        tn tnk minimaltemperatur minimumtemperatur minimaletemperatur tiefsttemperatur tiefstwert
        lufttemperaturminimum temperaturmin temperaturminimum
        temperatureminimale minimale tminima temperaturaminima temperaturamin minima
        """
    )
)
MAXIMUM = frozenset(
    _names(
        """
        max maximum maxtemp maxtemperature maximumtemp maximumtemperature maxairtemp maxairtemperature maxt
        tempmax tmax tmx tempmaximum temperaturemax temperaturemaximum temperature2mmax airtempmax airtemperaturemax
        high hightemp hightemperature hi hitemp temphigh temperaturehigh outdoorhigh outdoorhightemperature
        outdoortemperaturehigh
        tx txk maximaltemperatur maximumtemperatur maximaletemperatur hochsttemperatur hochstwert
        lufttemperaturmaximum temperaturmax temperaturmaximum
        temperaturemaximale maximale tmaxima temperaturamaxima temperaturamax maxima
        """
    )
)
# Best first: a station's plain "temperature" may be that of the room.
OUTDOORS = _names(
    """
    outdoortemperature outdoortemp temperatureoutdoor tempoutdoor tempout temperatureout outtemp outsidetemp
    outsidetemperature temperatureoutside outdoor aussentemperatur temperaturaussen temperatureexterieure
    temperaturaexterior airtemperature airtemp temperatureair lufttemperatur temperature2m t2m temperature temp
    temperatur temperatura
    """
)
DAY = frozenset(
    _names(
        """
        date day datum messdatum fecha data datetime dateandtime datelocal datetimelocal dateheure datetimelst
        datetimeutc dateutc yyyymmdd datumzeit datumuhrzeit jour dia tag
        """
    )
)
INSTANT = frozenset(
    _names(
        """
        timestamp timestamputc timestamplocal time localtime timelocal timeutc utc utctime timelst
        observationtime zeit zeitstempel
        """
    )
)
CLOCK = frozenset(_names("time hour clock uhrzeit zeit heure hora timeutc timelst timelocal localtime hhmm"))
STATION = frozenset(_names("station stationid stationsid climateid"))
UNIT = frozenset(_names("unit units temperatureunit temperatureunits tempunit tempunits einheit unite unidad"))
