"""How a service is asked: politely, patiently, within limits, and with its last answer at hand. Over real HTTP on
loopback; what it replays is documented by the services or, where noted, invented.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from loopback_service import Reply, serving

from tendwork import __version__
from tendwork.errors import PersonError
from tendwork.weather.fetching.cache import AnswerCache
from tendwork.weather.fetching.patience import fresh_until, retry_after_s, wait_s
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Told, Web, user_agent

TODAY = date(2026, 2, 25)
NOON = datetime(2026, 2, 25, 12, tzinfo=UTC)


class Clock:
    """A clock that moves when somebody sleeps."""

    def __init__(self) -> None:
        self.now = NOON
        self.slept: list[float] = []

    def sleep(self, seconds: float) -> None:
        self.slept.append(seconds)
        self.now += timedelta(seconds=seconds)


@pytest.fixture
def clock() -> Clock:
    return Clock()


def web_of(clock: Clock, cache: AnswerCache | None = None, contact: str = "", **limits) -> Web:
    limits = {"connect_s": 2.0, "silence_s": 2.0, **limits}
    return Web(
        "Testing", contact, cache, limits=Limits(**limits), sleep=clock.sleep, chance=lambda: 0.5, now=lambda: clock.now
    )


def ask(web: Web, url: str, today: date = TODAY) -> Told:
    return web.ask("topic", f"{url}/v1/forecast", {"latitude": "51"}, lambda answer: answer, today)


def reads_numbers(answer: Told) -> tuple[int, tuple[str, ...]]:
    try:
        return int(answer.text), answer.notes
    except ValueError as error:
        raise PersonError(f"answer of Testing, line 1: {answer.text} is no number") from error


def test_every_request_says_who_asks(clock):
    with serving(Reply("1")) as service:
        ask(web_of(clock, contact="orchard@example.org"), service.url)
    assert service.requests[0].headers["user-agent"] == f"tendwork/{__version__} (+orchard@example.org)"


def test_without_a_contact_the_request_says_that_there_is_none():
    assert user_agent("") == f"tendwork/{__version__} (no contact given)"


@pytest.mark.parametrize("contact", ["me\r\nX-Evil: 1", "mé@example.org", "a)b"])
def test_a_contact_that_no_header_can_carry_is_refused(contact):
    with pytest.raises(PersonError, match="must be an e-mail address or a web page"):
        user_agent(contact)


def test_a_service_out_of_order_is_asked_again_after_longer_and_longer_waits(clock):
    with serving(Reply(status=503), Reply(status=502), Reply("1")) as service:
        assert ask(web_of(clock), service.url).text == "1"
    assert clock.slept == [1.0, 2.0]


@pytest.mark.parametrize(("chance", "seconds"), [(0.0, 2.0), (0.5, 4.0), (1.0, 6.0)])
def test_chance_spreads_the_wait_around_its_middle(chance, seconds):
    assert wait_s(2, chance) == seconds


def test_retry_after_in_seconds_is_obeyed(clock):
    with serving(Reply(status=429, headers={"Retry-After": "7"}), Reply("1")) as service:
        ask(web_of(clock), service.url)
    assert clock.slept == [7.0]


def test_retry_after_as_a_date_is_obeyed(clock):
    with serving(Reply(status=503, headers={"Retry-After": "Wed, 25 Feb 2026 12:00:20 GMT"}), Reply("1")) as service:
        ask(web_of(clock), service.url)
    assert clock.slept == [20.0]


def test_a_long_retry_after_ends_the_asking_and_is_told(clock):
    with (
        serving(Reply(status=429, headers={"Retry-After": "3600"})) as service,
        pytest.raises(PersonError, match="asks to be left alone for 3600 seconds"),
    ):
        ask(web_of(clock), service.url)
    assert (len(service.requests), clock.slept) == (1, [])


def test_an_http_date_is_read_as_the_standard_shows_it():
    # RFC 9110, 5.6.7: the three forms of one instant; RFC 9110, 10.2.3: both forms of Retry-After.
    at = datetime(1994, 11, 6, 8, 49, 37, tzinfo=UTC)
    for form in ("Sun, 06 Nov 1994 08:49:37 GMT", "Sunday, 06-Nov-94 08:49:37 GMT", "Sun Nov  6 08:49:37 1994"):
        assert retry_after_s(form, at - timedelta(seconds=120)) == 120.0
    assert retry_after_s("120", at) == 120.0


@pytest.mark.parametrize("header", ["", "soon", "-5", "1e9", "٣", "9" * 400])
def test_a_retry_after_that_means_nothing_is_no_traceback(header):
    assert retry_after_s(header, NOON) is None or retry_after_s(header, NOON) >= 0


def test_max_age_goes_before_expires():
    # RFC 9111, 4.2.1.
    assert fresh_until("public, max-age=60", "Sun, 06 Nov 1994 08:49:37 GMT", NOON) == NOON + timedelta(minutes=1)


def test_a_refusal_is_not_asked_again_and_gives_the_reason(clock):
    # Open-Meteo answers 400 in this shape; the order of its keys varies (the service's own source).
    body = '{"reason":"Parameter \'start_date\' is out of allowed range from 1940-01-01 to 2026-02-24","error":true}'
    with (
        serving(Reply(body, status=400)) as service,
        pytest.raises(PersonError, match=r"Testing refuses the request \(400\): Parameter 'start_date' is out of"),
    ):
        ask(web_of(clock), service.url)
    assert len(service.requests) == 1


@pytest.mark.parametrize(
    ("status", "body", "reason"),
    [
        (
            429,
            '{"reason":"Minutely API request limit exceeded. Please try again in one minute.","error":true}',
            "Minutely",
        ),
        (503, '{"error":true,"reason":"The service is overloaded"}', "The service is overloaded"),
        (403, "Missing or generic User-Agent", "Missing or generic User-Agent"),
        (
            404,
            '{"title":"Data Unavailable For Requested Point","detail":"Unable to provide data"}',
            "Unable to provide data",
        ),
        (500, "<html><h1>Oops</h1></html>", "Internal Server Error"),
        (418, "", "I'm a Teapot"),
        (400, '{"reason": 7}', "Bad Request"),
        pytest.param(400, "[" * 100_000, "[[[", id="nested"),
    ],
)
def test_the_service_s_own_reason_is_in_the_sentence(clock, status, body, reason):
    with (
        serving(Reply(body, status=status)) as service,
        pytest.raises(PersonError) as caught,
    ):
        ask(web_of(clock), service.url)
    sentence = str(caught.value)
    assert str(status) in sentence
    assert reason in sentence
    assert len(sentence) < 300


def test_a_reason_cannot_steer_the_terminal(clock):
    with (
        serving(Reply("\x1b[2J\x07wiped\r\nclean", status=400)) as service,
        pytest.raises(PersonError, match=r"\(400\): \[2J wiped clean$"),
    ):
        ask(web_of(clock), service.url)


def test_a_service_that_says_nothing_is_given_up_after_its_time(clock):
    with (
        serving(Reply("1", pause_s=3)) as service,
        pytest.raises(PersonError, match="did not answer in time"),
    ):
        ask(web_of(clock, silence_s=0.1, attempts=1), service.url)


def test_a_body_that_drips_is_given_up_after_its_time(clock):
    with (
        serving(Reply("1" * 200, drip_s=0.02)) as service,
        pytest.raises(PersonError, match="gave no whole answer within"),
    ):
        ask(web_of(clock, whole_s=0.1, attempts=1), service.url)


def test_a_body_that_is_too_large_is_given_up(clock):
    with (
        serving(Reply("1" * 5000)) as service,
        pytest.raises(PersonError, match="answers more than"),
    ):
        ask(web_of(clock, largest_bytes=1000, attempts=1), service.url)


def test_a_body_that_breaks_off_is_asked_for_again(clock):
    with serving(Reply("1", broken=True), Reply("2")) as service:
        assert ask(web_of(clock), service.url).text == "2"


def test_nobody_at_home_is_one_sentence(clock):
    with serving(Reply("1")) as service:
        url = service.url
    with pytest.raises(PersonError, match=r"Testing cannot be reached .*\. Try again later"):
        ask(web_of(clock), url)


def test_an_address_that_is_none_is_refused(clock):
    with pytest.raises(PersonError, match="cannot be asked at"):
        ask(web_of(clock), "gopher://127.0.0.1")


def test_a_redirect_is_followed_but_not_for_ever(clock):
    with serving(Reply(status=301, headers={"Location": "/v1/elsewhere"}), Reply("1")) as service:
        assert ask(web_of(clock), service.url).text == "1"
    with (
        serving(Reply(status=301, headers={"Location": "/v1/forecast"})) as service,
        pytest.raises(PersonError, match="sends the question round, more than 3 times"),
    ):
        ask(web_of(clock), service.url)
    assert len(service.requests) == 4


def test_a_product_that_is_withdrawn_is_told(clock):
    # MET Norway, terms of service: status 203 means deprecated or beta.
    with serving(Reply("1", status=203)) as service:
        assert ask(web_of(clock), service.url).notes == (
            "Testing says that this product is being withdrawn or on trial.",
        )


def test_a_fresh_answer_is_not_asked_for_again(clock, tmp_path):
    # MET Norway, terms of service: do not ask again before Expires.
    with serving(Reply("1", headers={"Expires": "Wed, 25 Feb 2026 12:30:00 GMT"})) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        ask(web, service.url)
        clock.now += timedelta(minutes=29)
        assert ask(web, service.url).answered_at == NOON
        assert len(service.requests) == 1
        clock.now += timedelta(minutes=2)
        ask(web, service.url)
        assert len(service.requests) == 2


def test_an_unchanged_answer_is_confirmed_and_not_sent_again(clock, tmp_path):
    stamps = {"ETag": '"a1"', "Last-Modified": "Wed, 25 Feb 2026 11:00:00 GMT"}
    with serving(Reply("1", headers=stamps), Reply(status=304)) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        ask(web, service.url)
        clock.now += timedelta(hours=30)
        for _ in range(2):
            answer = ask(web, service.url, TODAY + timedelta(days=1))
        assert (answer.text, answer.answered_at, answer.asked_on) == ("1", clock.now, TODAY + timedelta(days=1))
        assert service.requests[2].headers["if-none-match"] == '"a1"'
        assert service.requests[2].headers["if-modified-since"] == "Wed, 25 Feb 2026 11:00:00 GMT"


def test_another_question_of_the_same_topic_is_not_conditional(clock, tmp_path):
    with serving(Reply("1", headers={"ETag": '"a1"'})) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        for latitude in ("51", "52"):
            web.ask("topic", service.url, {"latitude": latitude}, reads_numbers, TODAY)
        assert "if-none-match" not in service.requests[1].headers


def test_unplugged_for_a_week_the_last_answer_is_given_with_its_age(clock, tmp_path):
    with serving(Reply("1")) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        ask(web, service.url)
    clock.now += timedelta(days=7)
    answer = ask(web, service.url, TODAY + timedelta(days=7))
    assert (answer.text, answer.asked_on, answer.answered_at) == ("1", TODAY, NOON)
    assert answer.notes[0].endswith("This is its answer of 2026-02-25 12:00 UTC, 7 days old.")


def test_an_answer_that_cannot_be_read_is_not_kept_and_the_last_good_one_is_given(clock, tmp_path):
    with serving(Reply("1"), Reply("<html>Sign in to this hotel</html>")) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        web.ask("topic", service.url, {}, reads_numbers, TODAY)
        for _ in range(2):
            number, notes = web.ask("topic", service.url, {}, reads_numbers, TODAY)
        assert number == 1
        assert "is no number" in notes[0]


def test_a_refusal_is_not_hidden_behind_the_last_answer(clock, tmp_path):
    with serving(Reply("1"), Reply("who are you", status=403)) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        ask(web, service.url)
        with pytest.raises(PersonError, match=r"\(403\): who are you"):
            ask(web, service.url)


def test_a_damaged_cache_is_as_good_as_none(clock, tmp_path):
    with serving(Reply("1", headers={"ETag": '"a1"'})) as service:
        web = web_of(clock, AnswerCache(tmp_path))
        ask(web, service.url)
        for damage in (b"", b"{", b'{"url": 7}', b"\xff\x00"):
            (tmp_path / "topic.json").write_bytes(damage)
            assert ask(web, service.url).text == "1"


def test_a_deleted_cache_is_made_again(clock, tmp_path):
    folder = tmp_path / "cache"
    with serving(Reply("1")) as service:
        ask(web_of(clock, AnswerCache(folder)), service.url)
    assert [path.name for path in folder.iterdir()] == ["topic.json"]


def test_a_cache_that_cannot_be_written_costs_a_note_and_not_the_answer(clock, tmp_path):
    blocked = tmp_path / "cache"
    blocked.write_text("a file where the folder should be", encoding="utf-8")
    with serving(Reply("1")) as service:
        answer = ask(web_of(clock, AnswerCache(blocked)), service.url)
    assert answer.text == "1"
    assert answer.notes == ("This answer cannot be kept in cache: file exists.",)


def test_a_kept_answer_is_readable_by_its_owner_only(clock, tmp_path):
    with serving(Reply("1")) as service:
        ask(web_of(clock, AnswerCache(tmp_path)), service.url)
    assert Path(tmp_path / "topic.json").stat().st_mode & 0o077 == 0
