"""The hooks under the real framework, the recipes of the page, and the workflows."""
