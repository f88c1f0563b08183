"""Keys of signers: make one, enrol its public part, withdraw it."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks.access.roles import ASSESSOR, OWNER, REVIEWER, Person
from checks.signoff import keys, signatures
from checks.state.live import Live, State
from checks.state.owner_records import Key
from pages.ui import frame, state
from pages.ui.forms import Form, Told, days


def draw(live: Live, now: State, person: Person) -> None:
    """Draw what this person may do with keys."""
    folded = st.expander("Keys for signing", key="keys", on_change="rerun")
    if not folded.open:
        return
    with folded:
        if now.records.keys:
            rows = [
                {
                    "Key": one.id,
                    "Whose": one.name,
                    "Signs as": ", ".join(one.roles),
                    "Enrolled": f"{one.cause.day} by {one.cause.by or 'somebody'}",
                    "Withdrawn from": one.withdrawn,
                    "Why": one.why,
                }
                for one in now.records.keys.values()
            ]
            st.dataframe(pd.DataFrame(rows), hide_index=True, key="key_list", alt="Keys for signing")
        else:
            st.caption("No key is enrolled yet. A signer makes a key, the owner enrols its public line.")
        left, right = st.columns(2, gap="large")
        with left:
            _make()
        with right:
            if person.may("enrol or withdraw a key"):
                _enrol(live)
                _withdraw(live, now)
            else:
                st.caption(f"The {OWNER} enrols and withdraws keys.")


def _make() -> None:
    st.markdown("**Make a key**")
    form = Form("make")
    with st.form(form.name, border=False):
        st.text_input("Passphrase, at least 12 letters", key=form.key("phrase"), type="password")
        st.text_input("The same passphrase again", key=form.key("again"), type="password")
        form.button("Make a key", _made, "The key is made: download its file below.")
    key = state.get("new_key")
    if key is not None:
        st.markdown("Keep the file and the passphrase: nobody can make them again. This program keeps neither.")
        frame.download(
            "Download your key file",
            lambda: key.file,
            file_name=f"key-{key.id}.pem",
            mime="application/x-pem-file",
        )
        st.markdown("The owner enrols this line:")
        st.code(key.public, language=None, wrap_lines=True)


def _made(told: Told) -> None:
    if told["phrase"] != told["again"]:
        raise signatures.KeyRefused("the two passphrases differ, nothing was made", "type the same one twice")
    state.put("new_key", signatures.make(told["phrase"]))


def _enrol(live: Live) -> None:
    st.markdown("**Enrol a key**")
    form = Form("enrol")
    with st.form(form.name, border=False):
        st.text_area("Public line of the key", key=form.key("public"), max_chars=2000, height=68)
        st.text_input("Whose key it is", key=form.key("name"), max_chars=200)
        st.multiselect("Signs as", [ASSESSOR, REVIEWER], key=form.key("roles"))
        form.button("Enrol", lambda told: keys.enrol(live, state.person(), **told), "The key is enrolled.")


def _withdraw(live: Live, now: State) -> None:
    held = {one.id: _named(one) for one in now.records.keys.values()}
    if not held:
        return
    st.markdown("**Withdraw a key**")
    st.caption("One that was lost earlier than thought is withdrawn once more, from the earlier day on.")
    form = Form("withdraw")
    with st.form(form.name, border=False):
        st.selectbox("Key", list(held), key=form.key("key", held), format_func=held.__getitem__)
        st.date_input("From this day on", value=now.day, key=form.key("from_day"), format="YYYY-MM-DD")
        st.text_input("Why", key=form.key("reason"), max_chars=2000)
        form.button(
            "Withdraw",
            lambda told: keys.withdraw(live, state.person(), **days(told, "from_day")),
            "The key is withdrawn.",
        )


def _named(key: Key) -> str:
    return f"{key.id} {key.name}" + (f", withdrawn from {key.withdrawn} on" if key.withdrawn else "")
