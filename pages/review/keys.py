"""Keys of signers: make one, enrol its public part, withdraw it."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks.live import Live, State
from checks.record import owning, signing
from checks.record.people import ASSESSOR, OWNER, REVIEWER, Person
from pages.shared import frame, state
from pages.shared.wording import plain


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
    with st.form("make_key", border=False):
        first = st.text_input("Passphrase, at least 12 letters", key="make_phrase", type="password")
        second = st.text_input("The same passphrase again", key="make_again", type="password")
        made = st.form_submit_button("Make a key")
    if made:
        if first != second:
            st.error("The two passphrases differ; nothing was made.")
            return
        try:
            state.put("new_key", signing.make(first))
        except signing.KeyRefused as error:
            st.error(plain(f"{error}."))
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


def _enrol(live: Live) -> None:
    st.markdown("**Enrol a key**")
    with st.form("enrol", border=False):
        public = st.text_area("Public line of the key", key="enrol_public", max_chars=2000, height=68)
        name = st.text_input("Whose key it is", key="enrol_name", max_chars=200)
        roles = st.multiselect("Signs as", [ASSESSOR, REVIEWER], key="enrol_roles")
        done = st.form_submit_button("Enrol")
    if done:
        frame.attempt(
            lambda: owning.enrol(live, state.person(), public=public, name=name, roles=roles), "The key is enrolled."
        )


def _withdraw(live: Live, now: State) -> None:
    held = {one.id: f"{one.id} {one.name}" for one in now.records.keys.values() if not one.withdrawn}
    if not held:
        return
    st.markdown("**Withdraw a key**")
    with st.form("withdraw", border=False):
        key = st.selectbox("Key", list(held), key="withdraw_key", format_func=held.__getitem__)
        day = st.date_input("From this day on", value=now.day, key="withdraw_from", format="YYYY-MM-DD")
        reason = st.text_input("Why", key="withdraw_why", max_chars=2000)
        done = st.form_submit_button("Withdraw")
    if done and key:
        frame.attempt(
            lambda: owning.withdraw(
                live, state.person(), key=key, from_day=day.isoformat() if day else "", reason=reason
            ),
            "The key is withdrawn.",
        )
