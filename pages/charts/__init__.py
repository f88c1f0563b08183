"""Charts of the screens, as plotly figures. No Streamlit here."""
